//! Who people are, apart from what was measured of them; and who works here.

use super::code::Code;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Who a person is. It lies in a file of its own, named by the code that stands in the journals.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Identity {
    /// The name, as the person writes it.
    pub name: String,
    /// The day of birth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub born: Option<Date>,
    /// A number that this person has elsewhere, for instance in the clinic's own register.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number_elsewhere: Option<String>,
}

impl Identity {
    /// Whether it can be kept.
    ///
    /// # Errors
    /// Names the field and what was expected.
    pub fn check(&self) -> Result<(), String> {
        let long = |text: &str| text.chars().count() > 200 || text.chars().any(char::is_control);
        if self.name.trim().is_empty() || long(&self.name) {
            return Err("name: expected 1 to 200 characters on one line".into());
        }
        if self.number_elsewhere.as_deref().is_some_and(long) {
            return Err("number_elsewhere: expected at most 200 characters on one line".into());
        }
        Ok(())
    }

    /// What is looked through to find the person: small letters, one space between words.
    #[must_use]
    pub fn looked_through(&self, code: &Code) -> String {
        let born = self.born.map(|day| day.to_string()).unwrap_or_default();
        let number = self.number_elsewhere.as_deref().unwrap_or_default();
        as_looked_for(&format!(
            "{} {born} {number} {code} {}",
            self.name,
            code.plain()
        ))
    }
}

/// Text as it is compared: small letters, one space between words.
#[must_use]
pub fn as_looked_for(text: &str) -> String {
    let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}

/// What somebody who works here may answer for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Examines, and answers for it.
    Examiner,
    /// Answers for what trainees do.
    Supervisor,
    /// Learns; somebody else answers for it.
    Trainee,
}

impl Role {
    /// All of them.
    pub const ALL: [Role; 3] = [Role::Examiner, Role::Supervisor, Role::Trainee];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Role::Examiner => "examiner",
            Role::Supervisor => "supervisor",
            Role::Trainee => "trainee",
        }
    }

    /// The role of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Role> {
        Role::ALL.into_iter().find(|role| role.name() == name)
    }
}

/// Somebody who works here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct User {
    /// The name.
    pub name: String,
    /// What they answer for.
    pub role: Role,
}
