//! People and users of a store.

use super::who::{identity_of, person_file, prepare, user_file, user_of};
use super::{Archive, StoreError};
use crate::store::code::Code;
use crate::store::index::{FoundPerson, FoundUser, Index};
use crate::store::people::{Identity, Role, User};
use crate::store::register::Deed;
use serde::Serialize;

impl Archive {
    /// Enters a person; gives the code that stands for them from then on.
    ///
    /// # Errors
    /// If who they are cannot be kept, or the disk says no.
    pub fn add_person(&mut self, who: &Identity) -> Result<Code, StoreError> {
        who.check().map_err(StoreError::Refused)?;
        self.must_be_writable()?;
        let person = Code::draw().map_err(|error| self.failed("people", error))?;
        let digest = self.prepare(&person_file(&person), who)?;
        self.does(Deed::PersonAdded {
            person: person.clone(),
            digest: Some(digest),
        })?;
        Ok(person)
    }

    /// Corrects who a person is.
    ///
    /// # Errors
    /// If there is no such person, who they are cannot be kept, or the disk says no.
    pub fn change_person(
        &mut self,
        person: &Code,
        who: &Identity,
        reason: &str,
    ) -> Result<(), StoreError> {
        who.check().map_err(StoreError::Refused)?;
        let reason = because(reason)?;
        self.must_be_writable()?;
        self.known(person)?;
        if self.ask(Index::erased)?.0.contains(person) {
            let what = format!("{person}: who this is was taken away, and cannot be entered again");
            return Err(StoreError::Refused(what));
        }
        let digest = self.prepare(&person_file(person), who)?;
        self.does(Deed::PersonChanged {
            person: person.clone(),
            reason,
            digest: Some(digest),
        })
    }

    /// Takes away who a person is. What was measured stays, under a code that leads to nobody; a
    /// line stays that says who did this, when and why.
    ///
    /// # Errors
    /// If there is no such person, no reason is given, or the disk says no.
    pub fn erase_person(&mut self, person: &Code, reason: &str) -> Result<(), StoreError> {
        let reason = because(reason)?;
        self.known(person)?;
        self.does(Deed::PersonErased {
            person: person.clone(),
            reason,
        })
    }

    /// Who a person is; none once that was erased.
    #[must_use]
    pub fn identity(&self, person: &Code) -> Option<Identity> {
        identity_of(&*self.disk, self.ring.as_ref(), person)
    }

    /// People in whose name, birth date, number or code all these words stand; at most so many.
    ///
    /// # Errors
    /// If the index cannot be asked.
    pub fn people(&mut self, words: &str, most: u32) -> Result<Vec<FoundPerson>, StoreError> {
        self.ask(|index| index.people(words, most))
    }

    /// A person by their code.
    ///
    /// # Errors
    /// If there is no such person, or the index cannot be asked.
    pub fn known(&mut self, person: &Code) -> Result<FoundPerson, StoreError> {
        let found = self.ask(|index| index.person(person))?;
        found.ok_or_else(|| {
            StoreError::Refused(format!("{person}: expected a person of this store"))
        })
    }

    /// Enters somebody who works here.
    ///
    /// # Errors
    /// If there is no name, or the disk says no.
    pub fn add_user(&mut self, name: &str, role: Role) -> Result<Code, StoreError> {
        let identity = Identity {
            name: name.to_owned(),
            ..Identity::default()
        };
        identity.check().map_err(StoreError::Refused)?;
        self.must_be_writable()?;
        let code = Code::draw().map_err(|error| self.failed("users", error))?;
        let user = User {
            name: name.to_owned(),
            role,
        };
        let digest = self.prepare(&user_file(&code), &user)?;
        self.does(Deed::UserAdded {
            user: code.clone(),
            role,
            digest: Some(digest),
        })?;
        Ok(code)
    }

    /// Somebody works here no more. What they did stays theirs.
    ///
    /// # Errors
    /// If there is no such user, or the disk says no.
    pub fn user_leaves(&mut self, user: &Code) -> Result<(), StoreError> {
        if !self.users()?.iter().any(|one| one.code == *user) {
            return Err(StoreError::Refused(format!(
                "{user}: expected somebody who works here"
            )));
        }
        self.does(Deed::UserLeft { user: user.clone() })
    }

    /// Everybody who works or worked here.
    ///
    /// # Errors
    /// If the index cannot be asked.
    pub fn users(&mut self) -> Result<Vec<FoundUser>, StoreError> {
        self.ask(Index::users)
    }

    /// Who a user is.
    #[must_use]
    pub fn user(&self, user: &Code) -> Option<User> {
        user_of(&*self.disk, self.ring.as_ref(), user)
    }

    fn prepare(&self, file: &str, who: &impl Serialize) -> Result<String, StoreError> {
        prepare(&*self.disk, self.identity_key(), file, who)
            .map_err(|error| self.failed(file, error))
    }
}

/// A reason that says something.
pub(super) fn because(reason: &str) -> Result<String, StoreError> {
    let reason = reason.trim();
    if reason.is_empty() || reason.len() > 1000 {
        let what = "reason: expected 1 to 1000 characters that say why";
        return Err(StoreError::Refused(what.into()));
    }
    Ok(reason.to_owned())
}
