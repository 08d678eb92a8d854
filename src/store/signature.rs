//! A signed head: what the chain of a journal came to, said by this installation.
//!
//! Ed25519 (RFC 8032) over a few lines of text: see [`SignedHead::message`]. The signature shows
//! that the lines up to this head were so when it was made, to whoever knows the public key from
//! elsewhere. It does not bind who holds the secret key: they can seal a changed chain and sign it
//! again. A head that was written down outside this machine can: compare it.

use super::hex::{exactly, to_hex};
use super::secret::KEY;
use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// So many characters of a head are shown and printed.
pub const SHOWN: usize = 16;

/// The first characters of a head, in groups of four, as shown on the screen and on paper.
#[must_use]
pub fn shown_head(hash: &str) -> String {
    let signs: Vec<char> = hash.chars().take(SHOWN).collect();
    let groups: Vec<String> = signs.chunks(4).map(|four| four.iter().collect()).collect();
    groups.join(" ")
}

/// The head of a journal's chain, signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignedHead {
    /// Version of this format: 1.
    pub format: u32,
    /// The hash of the journal's first line: which journal it is.
    pub begins: String,
    /// How many lines the journal had.
    pub lines: u64,
    /// The hash of the last of them, 64 hexadecimal digits.
    pub head: String,
    /// When it was signed.
    pub signed: Timestamp,
    /// The public key, 64 hexadecimal digits (RFC 8032).
    pub key: String,
    /// The signature, 128 hexadecimal digits.
    pub signature: String,
}

/// What a signed head says of a journal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The journal ends where it was signed.
    Holds,
    /// All that was signed is there; lines followed later, as notes and amendments do.
    HoldsAndWentOn,
    /// The journal has fewer lines than were signed.
    CutOff,
    /// Another journal, or one that was sealed anew.
    AnotherJournal,
    /// The signature is not by this key over this head.
    BadSignature,
    /// It is signed rightly, but by another key than the one expected.
    AnotherKey,
}

impl Verdict {
    /// Whether the journal is as it was signed.
    #[must_use]
    pub fn holds(self) -> bool {
        matches!(self, Verdict::Holds | Verdict::HoldsAndWentOn)
    }

    /// In words.
    #[must_use]
    pub fn told(self) -> &'static str {
        match self {
            Verdict::Holds => "the journal is as it was signed",
            Verdict::HoldsAndWentOn => "the journal is as it was signed, and was added to later",
            Verdict::CutOff => "lines that were signed are missing at the end",
            Verdict::AnotherJournal => "another journal was signed, or this one was sealed anew",
            Verdict::BadSignature => "the signature does not fit",
            Verdict::AnotherKey => "it was signed by another key than the one expected",
        }
    }
}

/// The key of an installation.
#[derive(Clone)]
pub(super) struct Signing(SigningKey);

impl Signing {
    pub fn from_secret(secret: &[u8; KEY]) -> Signing {
        Signing(SigningKey::from_bytes(secret))
    }

    pub fn secret(&self) -> [u8; KEY] {
        self.0.to_bytes()
    }

    pub fn public(&self) -> String {
        to_hex(self.0.verifying_key().as_bytes())
    }

    /// Signs a text of ours that never leaves the store.
    pub fn sign_text(&self, text: &str) -> String {
        to_hex(&self.0.sign(text.as_bytes()).to_bytes())
    }

    /// Whether this key signed the text.
    pub fn has_signed(&self, text: &str, signature: &str) -> bool {
        let signature = exactly::<64>(signature).map(|bytes| Signature::from_bytes(&bytes));
        let fits = |signature| {
            self.0
                .verifying_key()
                .verify_strict(text.as_bytes(), &signature)
        };
        signature.map(fits).is_some_and(|fits| fits.is_ok())
    }

    /// Signs a journal whose lines have these hashes. None: it has none.
    pub fn sign(&self, hashes: &[String], signed: Timestamp) -> Option<SignedHead> {
        let mut signed_head = SignedHead {
            format: 1,
            begins: hashes.first()?.clone(),
            lines: hashes.len() as u64,
            head: hashes.last()?.clone(),
            signed,
            key: self.public(),
            signature: String::new(),
        };
        let signature = self.0.sign(signed_head.message().as_bytes());
        signed_head.signature = to_hex(&signature.to_bytes());
        Some(signed_head)
    }
}

impl SignedHead {
    /// What is signed: six lines of text, each ended by a line feed.
    #[must_use]
    pub fn message(&self) -> String {
        format!(
            "veridical signed head {}\nbegins {}\nlines {}\nhead {}\nsigned {}\nkey {}\n",
            self.format, self.begins, self.lines, self.head, self.signed, self.key
        )
    }

    /// Reads the document that lies beside a journal.
    ///
    /// # Errors
    /// In one line, what was expected.
    pub fn read(document: &[u8]) -> Result<SignedHead, String> {
        // A name is quoted as it stands in the file, line breaks and all.
        let plain = |error: serde_json::Error| error.to_string().replace(char::is_control, " ");
        serde_json::from_slice(document).map_err(plain)
    }

    /// The document that lies beside a journal.
    #[must_use]
    pub fn document(&self) -> Vec<u8> {
        let mut text = serde_json::to_vec_pretty(self).unwrap_or_default();
        text.push(b'\n');
        text
    }

    /// Whether the signature is by the key it names. Stricter than RFC 8032: weak keys are refused, and
    /// so are digits in capitals, so that there is one way to write a signature.
    #[must_use]
    pub fn is_signed(&self) -> bool {
        let verified = || {
            let key = VerifyingKey::from_bytes(&exactly::<32>(&self.key)?).ok()?;
            let signature = Signature::from_bytes(&exactly::<64>(&self.signature)?);
            key.verify_strict(self.message().as_bytes(), &signature)
                .ok()
        };
        self.format == 1 && verified().is_some()
    }

    /// What it says of a journal, whose lines have these hashes; `key` is the one expected, where
    /// it is known from elsewhere.
    #[must_use]
    pub fn verdict(&self, hashes: &[String], key: Option<&str>) -> Verdict {
        if !self.is_signed() {
            return Verdict::BadSignature;
        }
        if key.is_some_and(|expected| !expected.eq_ignore_ascii_case(&self.key)) {
            return Verdict::AnotherKey;
        }
        if hashes.first() != Some(&self.begins) {
            return Verdict::AnotherJournal;
        }
        let at = usize::try_from(self.lines).unwrap_or(usize::MAX);
        match at.checked_sub(1).and_then(|last| hashes.get(last)) {
            Some(found) if *found == self.head && at == hashes.len() => Verdict::Holds,
            Some(found) if *found == self.head => Verdict::HoldsAndWentOn,
            Some(_) => Verdict::AnotherJournal,
            None => Verdict::CutOff,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 8032, section 7.1: TEST 1, TEST 2, TEST 3 and TEST SHA(abc).
    #[test]
    fn signatures_are_the_rfcs() {
        let abc = "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a\
                   2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f";
        let vectors = [
            (
                "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
                "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
                "",
                "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
            ),
            (
                "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
                "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
                "72",
                "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
            ),
            (
                "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
                "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
                "af82",
                "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
            ),
            (
                "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
                "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
                abc,
                "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
            ),
        ];
        for (secret, public, message, signature) in vectors {
            let signing = Signing::from_secret(&exactly(secret).unwrap());
            assert_eq!(signing.public(), public);
            let message = super::super::hex::from_hex(message).unwrap();
            assert_eq!(to_hex(&signing.0.sign(&message).to_bytes()), signature);
        }
    }

    #[test]
    fn each_kind_of_tampering_has_its_verdict() {
        let signing = Signing::from_secret(&[5; KEY]);
        let hashes: Vec<String> = (0..4).map(|line| format!("{line:064}")).collect();
        let signed = signing.sign(&hashes[..3], Timestamp::UNIX_EPOCH).unwrap();
        let public = signing.public();
        let verdict = |of: &SignedHead, lines: &[String]| of.verdict(lines, Some(&public));
        assert_eq!(verdict(&signed, &hashes[..3]), Verdict::Holds);
        assert_eq!(verdict(&signed, &hashes), Verdict::HoldsAndWentOn);
        assert_eq!(verdict(&signed, &hashes[..2]), Verdict::CutOff);
        assert_eq!(verdict(&signed, &hashes[1..]), Verdict::AnotherJournal);
        assert_eq!(verdict(&signed, &hashes[2..]), Verdict::AnotherJournal);
        assert!(signing.sign(&[], Timestamp::UNIX_EPOCH).is_none());
        let capitals = SignedHead {
            signature: signed.signature.to_uppercase(),
            ..signed.clone()
        };
        assert_eq!(verdict(&capitals, &hashes[..3]), Verdict::BadSignature);
        let mut edited = signed.clone();
        edited.lines = 2;
        assert_eq!(verdict(&edited, &hashes[..2]), Verdict::BadSignature);
        let other = Signing::from_secret(&[6; KEY])
            .sign(&hashes[..3], Timestamp::UNIX_EPOCH)
            .unwrap();
        assert_eq!(verdict(&other, &hashes[..3]), Verdict::AnotherKey);
    }

    #[test]
    fn the_head_is_shown_in_groups() {
        assert_eq!(shown_head("0123456789abcdef0123"), "0123 4567 89ab cdef");
    }
}
