//! What can be written on the command line about a store.

use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Which store, and what opens it.
#[derive(Debug, Args)]
pub(super) struct StoreArgs {
    /// Folder of the store; unless said, what `VERIDICAL_STORE` names, or a folder among the user's data
    #[arg(long, value_name = "DIR", global = true)]
    pub(super) store: Option<PathBuf>,
    /// File whose first line is the passphrase; '-' reads it from standard input
    #[arg(long, value_name = "FILE", global = true)]
    pub(super) passphrase_file: Option<PathBuf>,
    /// File whose first line is the code of the recovery sheet
    #[arg(
        long,
        value_name = "FILE",
        global = true,
        conflicts_with = "passphrase_file"
    )]
    pub(super) recovery_file: Option<PathBuf>,
    /// Code of the user who acts
    #[arg(long, value_name = "CODE", global = true)]
    pub(super) by: Option<String>,
    /// Code of the user who answers for a trainee
    #[arg(long, value_name = "CODE", global = true)]
    pub(super) supervisor: Option<String>,
    /// Print one JSON document
    #[arg(long, global = true)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct FoundArgs {
    /// Where the recovery sheet is written, as a PDF page or, by its ending, as .txt
    #[arg(long, value_name = "FILE")]
    pub(super) sheet: Option<PathBuf>,
    /// Without a passphrase: everything lies readable on this machine
    #[arg(long, conflicts_with = "passphrase_file")]
    pub(super) unencrypted: bool,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Args)]
#[command(arg_required_else_help = false)]
pub(super) struct PeopleArgs {
    #[command(subcommand)]
    pub(super) what: PeopleVerb,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Subcommand)]
pub(super) enum PeopleVerb {
    /// People in whose name, birth date, number or code all these words stand
    Find {
        /// The words; none for everybody
        words: Vec<String>,
    },
    /// Enter a person; prints the code that stands for them
    Add(IdentityArgs),
    /// Correct who a person is
    Change {
        /// Their code
        person: String,
        #[command(flatten)]
        who: IdentityArgs,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// Take away who a person is; their visits stay, under a code that leads to nobody
    Erase {
        /// Their code
        person: String,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// The visits of a person beside one another
    Course {
        /// Their code
        person: String,
    },
}

#[derive(Debug, Args)]
pub(super) struct IdentityArgs {
    /// The name
    #[arg(long)]
    pub(super) name: String,
    /// The day of birth
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(super) born: Option<jiff::civil::Date>,
    /// A number that the person has elsewhere
    #[arg(long)]
    pub(super) number_elsewhere: Option<String>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum RoleArg {
    Examiner,
    Supervisor,
    Trainee,
}

#[derive(Debug, Args)]
#[command(arg_required_else_help = false)]
pub(super) struct UsersArgs {
    #[command(subcommand)]
    pub(super) what: UsersVerb,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Subcommand)]
pub(super) enum UsersVerb {
    /// Everybody who works or worked here
    List,
    /// Enter somebody who works here; prints their code
    Add {
        /// The name
        #[arg(long)]
        name: String,
        /// What they answer for
        #[arg(long)]
        role: RoleArg,
    },
    /// Somebody works here no more
    Leaves {
        /// Their code
        user: String,
    },
}

#[derive(Debug, Args)]
#[command(arg_required_else_help = false)]
pub(super) struct VisitsArgs {
    #[command(subcommand)]
    pub(super) what: VisitsVerb,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Subcommand)]
pub(super) enum VisitsVerb {
    /// Visits, the latest first
    List {
        /// Of this person alone
        #[arg(long, value_name = "CODE")]
        person: Option<String>,
        /// At most so many
        #[arg(long, default_value_t = 50)]
        most: u32,
    },
    /// What was found in a visit, who acted, what was noted and corrected
    Show {
        /// Its code
        visit: String,
    },
    /// Add a note to a visit that is over; it is marked late
    Note {
        /// Its code
        visit: String,
        /// The words
        #[arg(long)]
        text: String,
        /// Why it comes late
        #[arg(long)]
        reason: String,
    },
    /// Correct an answer of a visit that is over; what stood there stays
    Amend {
        /// Its code
        visit: String,
        /// Number of the presentation
        #[arg(long)]
        n: u32,
        /// The answer as a journal has it, for instance '{"heard": true}' or '{"letters": "KZ-"}'
        #[arg(long, value_name = "JSON")]
        answer: String,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// Give a visit to another person, or to none
    Move {
        /// Its code
        visit: String,
        /// Whose it is
        #[arg(long, value_name = "CODE")]
        person: Option<String>,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// Take a visit away; who did it, when and why stays
    Erase {
        /// Its code
        visit: String,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// Bring a journal in from a file, to the byte
    Import {
        /// The journal
        journal: PathBuf,
        /// Whose it is
        #[arg(long, value_name = "CODE")]
        person: Option<String>,
    },
    /// Hand a visit's journal out, with its signed head
    Export {
        /// Its code
        visit: String,
        /// A folder for the two files
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
    },
    /// Enter results of somewhere else by hand, from a TOML file
    Outside {
        /// The file
        file: PathBuf,
        /// Whose they are
        #[arg(long, value_name = "CODE")]
        person: String,
    },
}

#[derive(Debug, Args)]
pub(super) struct BackupArgs {
    /// The file to write
    #[arg(long, value_name = "FILE.tar")]
    pub(super) out: PathBuf,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Args)]
pub(super) struct RestoreArgs {
    /// The backup
    pub(super) backup: PathBuf,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Args)]
pub(super) struct MendArgs {
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Args)]
pub(super) struct PassphraseArgs {
    /// File whose first line is the new passphrase
    #[arg(long, value_name = "FILE")]
    pub(super) new_file: PathBuf,
    /// Where the new recovery sheet is written
    #[arg(long, value_name = "FILE")]
    pub(super) sheet: PathBuf,
    /// Of a store that is not encrypted: where its encrypted copy is made
    #[arg(long, value_name = "DIR")]
    pub(super) into: Option<PathBuf>,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Args)]
pub(super) struct SignArgs {
    /// A journal that lies outside the store
    pub(super) journal: PathBuf,
    /// The file to write the signed head to
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}

#[derive(Debug, Args)]
pub(super) struct CheckArgs {
    /// The journal; without one the whole store is checked
    pub(super) journal: Option<PathBuf>,
    /// The signed head of the journal
    #[arg(long, value_name = "FILE", requires = "journal")]
    pub(super) signed: Option<PathBuf>,
    /// The public key that is expected, 64 hexadecimal digits, as it is known from elsewhere
    #[arg(long, value_name = "HEX", requires = "signed")]
    pub(super) key: Option<String>,
    #[command(flatten)]
    pub(super) store: StoreArgs,
}
