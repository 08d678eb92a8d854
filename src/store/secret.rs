//! The keys of a store, and how a passphrase or the recovery sheet opens them.
//!
//! A store that is encrypted has a ring of random keys. The ring itself is kept encrypted twice:
//! under a key made of the passphrase, and under one made of the code on the recovery sheet. So
//! either opens it, and the passphrase can be changed without writing anything else anew.

use super::code::check_character;
use super::hex::{from_hex, to_hex};
use super::random::random;
use argon2::{Algorithm, Argon2, Params, Version};
use chacha20poly1305::aead::{Aead, AeadInOut, KeyInit, Payload};
use chacha20poly1305::{XChaCha20Poly1305, XNonce};
use serde::{Deserialize, Serialize};
use std::io;
use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

/// Bytes of a key.
pub(super) const KEY: usize = 32;
/// Bytes of a nonce: long enough to be drawn at random for every record.
pub(super) const NONCE: usize = 24;
/// Bytes that the cipher adds to authenticate.
pub(super) const TAG: usize = 16;
/// The shortest passphrase, characters (our choice).
pub const SHORTEST_PASSPHRASE: usize = 10;

/// The keys of an encrypted store.
#[derive(Clone, Zeroize, ZeroizeOnDrop)]
pub(super) struct Ring {
    /// For who people are.
    pub identity: [u8; KEY],
    /// For the register and the index.
    pub register: [u8; KEY],
    /// For the journals.
    pub journals: [u8; KEY],
    /// The secret half of the key that signs.
    pub signing: [u8; KEY],
}

impl Ring {
    /// New keys around the one that signs.
    pub fn draw(signing: [u8; KEY]) -> io::Result<Ring> {
        Ok(Ring {
            identity: random()?,
            register: random()?,
            journals: random()?,
            signing,
        })
    }

    fn to_bytes(&self) -> Zeroizing<Vec<u8>> {
        let all = [self.identity, self.register, self.journals, self.signing];
        Zeroizing::new(all.concat())
    }

    fn from_bytes(bytes: &[u8]) -> Option<Ring> {
        let key = |at: usize| bytes.get(at * KEY..(at + 1) * KEY)?.try_into().ok();
        (bytes.len() == 4 * KEY).then_some(())?;
        Some(Ring {
            identity: key(0)?,
            register: key(1)?,
            journals: key(2)?,
            signing: key(3)?,
        })
    }
}

/// What deriving a key costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cost {
    /// Memory, KiB.
    pub memory_kib: u32,
    /// Passes over it.
    pub passes: u32,
    /// Lanes.
    pub lanes: u32,
}

impl Cost {
    /// The second recommended option of RFC 9106, section 4: 64 MiB, three passes, four lanes.
    pub const USUAL: Cost = Cost {
        memory_kib: 64 * 1024,
        passes: 3,
        lanes: 4,
    };

    /// A file that asks for more than this is not ours, and would only exhaust the machine.
    const MOST: Cost = Cost {
        memory_kib: 256 * 1024,
        passes: 8,
        lanes: 8,
    };
}

/// How the ring lies in the store's file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Locked {
    /// `argon2id`, version 19 (RFC 9106).
    kdf: String,
    cost: Cost,
    /// Hexadecimal.
    salt: String,
    /// `xchacha20-poly1305`.
    cipher: String,
    /// Nonce and encrypted ring, hexadecimal, by the passphrase.
    by_passphrase: String,
    /// The same by the recovery code.
    by_recovery: String,
}

const KDF: &str = "argon2id";
const CIPHER: &str = "xchacha20-poly1305";

/// What opens a store.
#[derive(Clone, Zeroize, ZeroizeOnDrop)]
pub enum Opener {
    /// The passphrase.
    Passphrase(String),
    /// The code of the recovery sheet.
    Recovery(String),
}

impl Locked {
    /// Locks a ring; also gives the recovery code, which is kept nowhere else.
    pub fn around(
        ring: &Ring,
        store: &str,
        passphrase: &str,
        cost: Cost,
    ) -> io::Result<(Locked, String)> {
        let salt: [u8; 16] = random()?;
        let recovery = draw_recovery()?;
        let mut locked = Locked {
            kdf: KDF.into(),
            cost,
            salt: to_hex(&salt),
            cipher: CIPHER.into(),
            by_passphrase: String::new(),
            by_recovery: String::new(),
        };
        let bytes = ring.to_bytes();
        let opener = Opener::Passphrase(passphrase.to_owned());
        locked.by_passphrase = locked.wrap(&bytes, store, &opener)?;
        locked.by_recovery = locked.wrap(&bytes, store, &Opener::Recovery(recovery.clone()))?;
        Ok((locked, recovery))
    }

    /// Unlocks the ring. None: the opener is not the right one.
    ///
    /// # Errors
    /// If what the file asks for is not known.
    pub fn open(&self, store: &str, opener: &Opener) -> Result<Option<Ring>, String> {
        if self.kdf != KDF || self.cipher != CIPHER {
            return Err(format!("kdf, cipher: expected {KDF} and {CIPHER}"));
        }
        let text = match opener {
            Opener::Passphrase(_) => &self.by_passphrase,
            Opener::Recovery(_) => &self.by_recovery,
        };
        let wrapped = from_hex(text).ok_or("by_passphrase, by_recovery: expected hexadecimal")?;
        let key = self.derive(opener)?;
        let opened = open_blob(&key, &purpose(store, opener), wrapped);
        Ok(opened.as_deref().and_then(|bytes| Ring::from_bytes(bytes)))
    }

    fn wrap(&self, ring: &[u8], store: &str, opener: &Opener) -> io::Result<String> {
        let key = self.derive(opener).map_err(io::Error::other)?;
        Ok(to_hex(&seal_blob(&key, &purpose(store, opener), ring)?))
    }

    fn derive(&self, opener: &Opener) -> Result<Zeroizing<[u8; KEY]>, String> {
        let secret = match opener {
            Opener::Passphrase(passphrase) => Zeroizing::new(passphrase.clone()),
            Opener::Recovery(code) => Zeroizing::new(recovery_typed(code)?),
        };
        derive(self.cost, &self.salt, &secret)
    }
}

/// The key of a secret; the salt is hexadecimal.
fn derive(cost: Cost, salt: &str, secret: &str) -> Result<Zeroizing<[u8; KEY]>, String> {
    let most = Cost::MOST;
    if cost.memory_kib > most.memory_kib || cost.passes > most.passes || cost.lanes > most.lanes {
        return Err("cost: expected at most 256 MiB, 8 passes and 8 lanes".into());
    }
    let salt = from_hex(salt).ok_or("salt: expected hexadecimal")?;
    let params = Params::new(cost.memory_kib, cost.passes, cost.lanes, Some(KEY));
    let params = params.map_err(|error| format!("cost: {error}"))?;
    let mut key = Zeroizing::new([0; KEY]);
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(secret.as_bytes(), &salt, key.as_mut())
        .map_err(|error| format!("salt, cost: {error}"))?;
    Ok(key)
}

/// A text that only a passphrase opens, as it lies in a file of its own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shut {
    /// `argon2id`, version 19 (RFC 9106).
    kdf: String,
    /// `xchacha20-poly1305`.
    cipher: String,
    /// Hexadecimal.
    salt: String,
    /// Nonce and encrypted text, hexadecimal.
    text: String,
    cost: Cost,
}

impl Shut {
    /// Shuts a text; `about` is what lies readable beside it and must not be changed.
    ///
    /// # Errors
    /// If the passphrase is shorter than [`SHORTEST_PASSPHRASE`], or no random bytes can be had.
    pub fn around(text: &str, about: &str, passphrase: &str, cost: Cost) -> io::Result<Shut> {
        if passphrase.chars().count() < SHORTEST_PASSPHRASE {
            let what = format!("passphrase: expected at least {SHORTEST_PASSPHRASE} characters");
            return Err(io::Error::other(what));
        }
        let salt: [u8; 16] = random()?;
        let salt = to_hex(&salt);
        let key = derive(cost, &salt, passphrase).map_err(io::Error::other)?;
        Ok(Shut {
            kdf: KDF.into(),
            cipher: CIPHER.into(),
            salt,
            text: to_hex(&seal_blob(&key, about, text.as_bytes())?),
            cost,
        })
    }

    /// The text. None: another passphrase, or `about` or the text was changed.
    ///
    /// # Errors
    /// If what the file asks for is not known.
    pub fn open(&self, about: &str, passphrase: &str) -> Result<Option<String>, String> {
        if self.kdf != KDF || self.cipher != CIPHER {
            return Err(format!("kdf, cipher: expected {KDF} and {CIPHER}"));
        }
        let blob = from_hex(&self.text).ok_or("text: expected hexadecimal")?;
        let key = derive(self.cost, &self.salt, passphrase)?;
        let opened = open_blob(&key, about, blob);
        Ok(opened.and_then(|bytes| String::from_utf8(bytes.to_vec()).ok()))
    }
}

/// What a wrapped ring is bound to: the store, and which of the two openers.
fn purpose(store: &str, opener: &Opener) -> String {
    let by = match opener {
        Opener::Passphrase(_) => "passphrase",
        Opener::Recovery(_) => "recovery",
    };
    format!("veridical ring 1, store {store}, by {by}")
}

/// Encrypts a whole: nonce, then the encrypted bytes with their tag. `about` is authenticated too,
/// so that nothing can be put in another's place.
pub(super) fn seal_blob(key: &[u8; KEY], about: &str, plain: &[u8]) -> io::Result<Vec<u8>> {
    let nonce: [u8; NONCE] = random()?;
    let cipher = XChaCha20Poly1305::new(key.into());
    let payload = Payload {
        msg: plain,
        aad: about.as_bytes(),
    };
    let sealed = cipher
        .encrypt(&XNonce::from(nonce), payload)
        .map_err(|_| io::Error::other("too long to be encrypted"))?;
    Ok([&nonce[..], &sealed].concat())
}

/// Decrypts a whole, where it lies: an index is large. None: another key, or not these bytes.
pub(super) fn open_blob(
    key: &[u8; KEY],
    about: &str,
    mut blob: Vec<u8>,
) -> Option<Zeroizing<Vec<u8>>> {
    let nonce: [u8; NONCE] = *blob.first_chunk()?;
    blob.drain(..NONCE);
    let cipher = XChaCha20Poly1305::new(key.into());
    let opened = cipher.decrypt_in_place(&XNonce::from(nonce), about.as_bytes(), &mut blob);
    opened.ok().map(|()| Zeroizing::new(blob))
}

/// Groups of a recovery code, each of four drawn characters and the one that checks them.
const GROUPS: usize = 7;

/// 28 characters drawn of 31: 138 bits.
fn draw_recovery() -> io::Result<String> {
    let mut groups = Vec::new();
    while groups.len() < GROUPS {
        // A code has eight drawn characters before its check: two groups.
        let drawn = super::code::Code::draw()?;
        for group in [&drawn.plain()[..4], &drawn.plain()[4..8]] {
            let check = check_character(group).unwrap_or('0');
            groups.push(format!("{group}{check}"));
        }
    }
    groups.truncate(GROUPS);
    Ok(groups.join("-"))
}

/// A recovery code as it was drawn, from as it was typed.
fn recovery_typed(typed: &str) -> Result<String, String> {
    let code: String = typed
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|sign| sign.to_ascii_uppercase())
        .collect();
    if code.len() != GROUPS * 5 {
        return Err(format!(
            "recovery code: expected {GROUPS} groups of 5 characters"
        ));
    }
    let mut groups = Vec::new();
    for at in 0..GROUPS {
        let group = &code[at * 5..(at + 1) * 5];
        if check_character(&group[..4]) != group.chars().next_back() {
            let which = at + 1;
            return Err(format!(
                "recovery code: group {which} was not read or typed right"
            ));
        }
        groups.push(group);
    }
    Ok(groups.join("-"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use argon2::{AssociatedData, ParamsBuilder};

    const LITTLE: Cost = Cost {
        memory_kib: 64,
        passes: 1,
        lanes: 1,
    };

    /// RFC 9106, section 5.3: the test vector of Argon2id.
    #[test]
    fn argon2id_is_the_rfcs() {
        let params = ParamsBuilder::new()
            .m_cost(32)
            .t_cost(3)
            .p_cost(4)
            .data(AssociatedData::new(&[4; 12]).unwrap())
            .build()
            .unwrap();
        let argon =
            Argon2::new_with_secret(&[3; 8], Algorithm::Argon2id, Version::V0x13, params).unwrap();
        let mut tag = [0; 32];
        argon
            .hash_password_into(&[1; 32], &[2; 16], &mut tag)
            .unwrap();
        assert_eq!(
            to_hex(&tag),
            "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"
        );
    }

    /// draft-irtf-cfrg-xchacha-03, A.3.1: the test vector of XChaCha20-Poly1305.
    #[test]
    fn the_cipher_is_the_drafts() {
        let key: Vec<u8> = (0x80..=0x9f).collect();
        let key: [u8; KEY] = key.try_into().unwrap();
        let nonce: Vec<u8> = (0x40..=0x57).collect();
        let about = from_hex("50515253c0c1c2c3c4c5c6c7").unwrap();
        let sealed = "bd6d179d3e83d43b9576579493c0e939572a1700252bfaccbed2902c21396cbb\
                      731c7f1b0b4aa6440bf3a82f4eda7e39ae64c6708c54c216cb96b72e1213b452\
                      2f8c9ba40db5d945b11b69b982c1bb9e3f3fac2bc369488f76b2383565d3fff9\
                      21f9664c97637da9768812f615c68b13b52ec0875924c1c7987947deafd8780acf49";
        let nonce: [u8; NONCE] = nonce.try_into().unwrap();
        let plain = XChaCha20Poly1305::new(&key.into()).decrypt(
            &XNonce::from(nonce),
            Payload {
                msg: &from_hex(sealed).unwrap(),
                aad: &about,
            },
        );
        assert_eq!(
            plain.unwrap(),
            b"Ladies and Gentlemen of the class of '99: If I could offer you only one tip for the \
              future, sunscreen would be it."
        );
    }

    #[test]
    fn either_opener_opens_the_ring_and_nothing_else_does() {
        let ring = Ring::draw([7; KEY]).unwrap();
        let (locked, recovery) =
            Locked::around(&ring, "HERE", "a long passphrase", LITTLE).unwrap();
        let open = |store: &str, opener: Opener| locked.open(store, &opener);
        let right = Opener::Passphrase("a long passphrase".into());
        let opened = open("HERE", right.clone()).unwrap().unwrap();
        assert_eq!(*opened.to_bytes(), *ring.to_bytes());
        let typed = Opener::Recovery(recovery.to_lowercase().replace('-', " "));
        assert!(open("HERE", typed).unwrap().is_some());
        let wrong = Opener::Passphrase("a long passphrasE".into());
        assert!(open("HERE", wrong).unwrap().is_none());
        assert!(open("ELSEWHERE", right).unwrap().is_none());
        let slipped = recovery.replacen(
            &recovery[6..7],
            if &recovery[6..7] == "A" { "B" } else { "A" },
            1,
        );
        if recovery_typed(&slipped).is_err() {
            let told = open("HERE", Opener::Recovery(slipped)).err().unwrap();
            assert!(told.contains("group"), "{told}");
        }
    }

    #[test]
    fn a_file_cannot_ask_for_all_the_memory() {
        let ring = Ring::draw([7; KEY]).unwrap();
        let (mut locked, _) = Locked::around(&ring, "HERE", "a long passphrase", LITTLE).unwrap();
        locked.cost.memory_kib = u32::MAX;
        let told = locked
            .open("HERE", &Opener::Passphrase("x".into()))
            .err()
            .unwrap();
        assert!(told.starts_with("cost"), "{told}");
    }
}
