//! Bytes as text: two small hexadecimal digits each.

use std::fmt::Write;

pub(super) fn to_hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// None unless every byte has its two small digits, as [`to_hex`] writes them: what is signed has one
/// way to be written.
pub(super) fn from_hex(text: &str) -> Option<Vec<u8>> {
    let digit = |sign: u8| matches!(sign, b'0'..=b'9' | b'a'..=b'f');
    if !text.bytes().all(digit) || !text.len().is_multiple_of(2) {
        return None;
    }
    let byte = |at: usize| u8::from_str_radix(text.get(at..at + 2)?, 16).ok();
    (0..text.len()).step_by(2).map(byte).collect()
}

/// As [`from_hex`], of exactly so many bytes.
pub(super) fn exactly<const N: usize>(text: &str) -> Option<[u8; N]> {
    from_hex(text)?.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_is_one_way_to_write_bytes() {
        assert_eq!(from_hex("00ff").unwrap(), [0, 255]);
        // A sign is no digit, although an integer may begin with one.
        for text in ["+f", "-1", "0", "0F", " f", "0x", "é0"] {
            assert!(from_hex(text).is_none(), "{text}");
        }
        assert!(exactly::<2>("00ff00").is_none());
    }
}
