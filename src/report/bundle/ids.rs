//! Identifiers that the same journal gives again.

use sha2::{Digest, Sha256};

/// A UUID of version 8 by RFC 9562, appendix B.2: SHA-256 of a namespace and a name.
pub(super) fn uuid(namespace: [u8; 16], name: &str) -> String {
    let mut hasher = Sha256::new();
    hasher.update(namespace);
    hasher.update(name.as_bytes());
    let digest = hasher.finalize();
    let mut bytes = [0_u8; 16];
    bytes.copy_from_slice(&digest[..16]);
    bytes[6] = bytes[6] & 0x0f | 0x80;
    bytes[8] = bytes[8] & 0x3f | 0x80;
    let hex = hex::lower(&bytes);
    let part = |from: usize, to: usize| hex.get(from..to).unwrap_or_default();
    format!(
        "{}-{}-{}-{}-{}",
        part(0, 8),
        part(8, 12),
        part(12, 16),
        part(16, 20),
        part(20, 32)
    )
}

/// The namespace of one state of a journal: of its head.
pub(super) fn namespace(head: &str) -> [u8; 16] {
    let digest = Sha256::digest(head.as_bytes());
    let mut bytes = [0_u8; 16];
    bytes.copy_from_slice(&digest[..16]);
    bytes
}

/// SHA-256 of stored bytes as a name (RFC 6920, from memory).
pub(super) fn named_by_digest(digest: &[u8]) -> String {
    use base64::Engine;
    use base64::engine::general_purpose::URL_SAFE_NO_PAD;
    format!("ni:///sha-256;{}", URL_SAFE_NO_PAD.encode(digest))
}

mod hex {
    use std::fmt::Write;

    pub fn lower(bytes: &[u8]) -> String {
        bytes.iter().fold(String::new(), |mut hex, byte| {
            let _ = write!(hex, "{byte:02x}"); // writing to a String cannot fail
            hex
        })
    }
}

/// The bytes that hexadecimal digits stand for; none if they are no pairs of such digits.
pub(super) fn bytes_of_hex(text: &str) -> Option<Vec<u8>> {
    let pairs = text.as_bytes().chunks(2);
    pairs
        .map(|pair| {
            let pair = std::str::from_utf8(pair)
                .ok()
                .filter(|pair| pair.len() == 2)?;
            u8::from_str_radix(pair, 16).ok()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 9562, B.2: SHA-256 of the DNS namespace and `www.example.com`.
    #[test]
    fn the_example_of_the_rfc() {
        let dns = bytes_of_hex("6ba7b8109dad11d180b400c04fd430c8").unwrap();
        let dns: [u8; 16] = dns.try_into().unwrap();
        assert_eq!(
            uuid(dns, "www.example.com"),
            "5c146b14-3c52-8afd-938a-375d0df1fbf6"
        );
    }

    /// RFC 6920, 3: the example 'Hello World!', truncated nowhere.
    #[test]
    fn a_digest_names_bytes() {
        let digest = Sha256::digest(b"Hello World!");
        let name = named_by_digest(&digest);
        assert_eq!(
            name,
            "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk"
        );
    }
}
