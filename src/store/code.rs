//! Codes that stand for people, visits and users: random, so that they tell nothing, and with a
//! check character, so that a slip of the hand is found.
//!
//! ISO/IEC 7064, system MOD 37,36: one check character over letters and digits finds every single
//! wrong character and nearly every pair that changed places.

use super::random::random;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// In the standard's order of values, 0 to 35.
const VALUES: &[u8; 36] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
/// What is drawn: without 0, 1, I, L and O, which are read for one another.
const DRAWN: &[u8; 31] = b"23456789ABCDEFGHJKMNPQRSTUVWXYZ";
/// Characters drawn of a code: 31^8 is 8.5e11.
const LENGTH: usize = 8;

/// A code of eight drawn characters and the one that checks them, written `K7P2-MX4Q-T`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Code(String);

impl Code {
    /// A new one, drawn from the system's random numbers.
    ///
    /// # Errors
    /// If the system has none.
    pub fn draw() -> std::io::Result<Code> {
        let mut drawn = String::with_capacity(LENGTH + 1);
        while drawn.len() < LENGTH {
            let [byte] = random::<1>()?;
            // 248 is a multiple of 31: so every character is as likely as another.
            if byte < 248 {
                drawn.push(char::from(DRAWN[usize::from(byte % 31)]));
            }
        }
        let check = check_character(&drawn).unwrap_or('0');
        drawn.push(check);
        Ok(Code(drawn))
    }

    /// The code without its dashes, as files are named.
    #[must_use]
    pub fn plain(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (drawn, check) = self.0.split_at(LENGTH);
        let (one, two) = drawn.split_at(LENGTH / 2);
        write!(f, "{one}-{two}-{check}")
    }
}

impl FromStr for Code {
    type Err = String;

    /// Dashes, spaces and small letters do not matter.
    fn from_str(typed: &str) -> Result<Code, String> {
        let expected = || {
            let typed: String = typed.chars().take(40).collect();
            format!("expected a code like K7P2-MX4Q-T, found {typed:?}")
        };
        let code: String = typed
            .chars()
            .filter(|sign| *sign != '-' && !sign.is_whitespace())
            .map(|sign| sign.to_ascii_uppercase())
            .collect();
        if code.len() != LENGTH + 1 || !code.bytes().all(|sign| VALUES.contains(&sign)) {
            return Err(expected());
        }
        if remainder(&code) != Some(1) {
            return Err(format!("{}: its check character does not fit", expected()));
        }
        Ok(Code(code))
    }
}

impl TryFrom<String> for Code {
    type Error = String;

    fn try_from(typed: String) -> Result<Code, String> {
        typed.parse()
    }
}

impl From<Code> for String {
    fn from(code: Code) -> String {
        code.to_string()
    }
}

/// The remainder of the hybrid system (ISO/IEC 7064, MOD 37,36): 1 for a string whose last
/// character checks it.
fn remainder(code: &str) -> Option<usize> {
    let mut product = 36;
    let mut sum = 0;
    for sign in code.bytes() {
        let value = VALUES.iter().position(|known| *known == sign)?;
        sum = (product + value) % 36;
        let adjusted = if sum == 0 { 36 } else { sum };
        product = adjusted * 2 % 37;
    }
    Some(sum)
}

/// The character that checks a string of letters and digits.
pub(super) fn check_character(code: &str) -> Option<char> {
    let mut product = 36;
    for sign in code.bytes() {
        let value = VALUES.iter().position(|known| *known == sign)?;
        let sum = (product + value) % 36;
        let adjusted = if sum == 0 { 36 } else { sum };
        product = adjusted * 2 % 37;
    }
    Some(char::from(VALUES[(37 - product) % 36]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked examples of a general-purpose library of check digits, python-stdnum 2.2
    /// (`stdnum.iso7064.mod_37_36`), made once with `calc_check_digit`.
    #[test]
    fn check_characters_are_the_standards() {
        for (code, check) in EXAMPLES {
            assert_eq!(check_character(code), Some(*check), "{code}");
            assert_eq!(remainder(&format!("{code}{check}")), Some(1), "{code}");
        }
    }

    const EXAMPLES: &[(&str, char)] = &[
        ("A12425GABC1234002", 'M'),
        ("K", 'Y'),
        ("9P34Y6N3", '3'),
        ("WD25RQ4F", 'D'),
        ("5ZR37E3P", 'V'),
        ("3E2Z8IQ9", 'H'),
        ("Y7JZB6CN6Z43DVYR", 'D'),
    ];

    #[test]
    fn every_single_slip_is_found() {
        for _ in 0..40 {
            let code = Code::draw().unwrap();
            assert_eq!(code.to_string().to_lowercase().parse(), Ok(code.clone()));
            for at in 0..code.0.len() {
                for other in VALUES {
                    let mut slipped = code.0.clone().into_bytes();
                    if slipped[at] == *other {
                        continue;
                    }
                    slipped[at] = *other;
                    let slipped = String::from_utf8(slipped).unwrap();
                    assert!(slipped.parse::<Code>().is_err(), "{code} {slipped}");
                }
            }
        }
    }

    /// The standard promises nearly all: the hybrid system misses a pair in some thousand.
    #[test]
    fn nearly_every_pair_that_changed_places_is_found() {
        let (mut swapped_all, mut missed) = (0, 0);
        for _ in 0..2000 {
            let code = Code::draw().unwrap();
            for at in 0..code.0.len() - 1 {
                let mut swapped = code.0.clone().into_bytes();
                swapped.swap(at, at + 1);
                let swapped = String::from_utf8(swapped).unwrap();
                if swapped != code.0 {
                    swapped_all += 1;
                    missed += u32::from(swapped.parse::<Code>().is_ok());
                }
            }
        }
        assert!(
            swapped_all > 10_000 && missed * 100 < swapped_all,
            "{missed}"
        );
    }

    #[test]
    fn what_is_no_code_says_what_was_expected() {
        for typed in ["", "K7P2", "K7P2-MX4Q-?", "K7P2-MX4Q-TT", "ÄÖ"] {
            let told = typed.parse::<Code>().unwrap_err();
            assert!(told.contains("expected a code"), "{told}");
        }
    }
}
