//! A person at the end of a pipe: one JSON line out for each presentation, one line back.

use super::{Person, PersonError, Replied, Response};
use crate::journal::named;
use crate::stimulus::{Facing, Presentation, PromptPart, Prompted, Reply, Task};
use serde::{Deserialize, Serialize};
use std::io::{BufRead, Write};

/// Another program that answers.
pub struct Piped<R, W> {
    answers: R,
    presentations: W,
}

#[derive(Serialize)]
struct Asked<'a> {
    n: u32,
    #[serde(flatten)]
    presentation: &'a Presentation,
}

#[derive(Serialize)]
struct Prompting<'a> {
    n: u32,
    task: &'static str,
    parts: Vec<PromptPart<'a>>,
}

#[derive(Deserialize)]
struct Answered {
    n: u32,
    yes_at_s: Option<Vec<f64>>,
    interval: Option<u8>,
    count: Option<u32>,
    facing: Option<Facing>,
    after_s: Option<f64>,
    letters: Option<String>,
    sees: Option<bool>,
    reply: Option<Reply>,
}

impl<R: BufRead, W: Write> Piped<R, W> {
    /// Reads answers from `answers` and writes presentations to `presentations`.
    pub fn new(answers: R, presentations: W) -> Self {
        Piped {
            answers,
            presentations,
        }
    }

    fn say(&mut self, line: &str) -> Result<(), PersonError> {
        let written =
            writeln!(self.presentations, "{line}").and_then(|()| self.presentations.flush());
        written.map_err(|error| PersonError(format!("standard output: {error}")))
    }

    fn listen(&mut self, n: u32) -> Result<Answered, PersonError> {
        let wrong = |what: String| PersonError(format!("standard input: answer to {n}: {what}"));
        let mut line = String::new();
        let read = self
            .answers
            .read_line(&mut line)
            .map_err(|error| wrong(error.to_string()))?;
        if read == 0 {
            return Err(wrong("expected one JSON line, found the end".into()));
        }
        let answer: Answered =
            serde_json::from_str(&line).map_err(|error| wrong(error.to_string()))?;
        if answer.n != n {
            return Err(wrong(format!("n: expected {n}, found {}", answer.n)));
        }
        Ok(answer)
    }
}

impl<R: BufRead, W: Write> Person for Piped<R, W> {
    fn answer(&mut self, n: u32, presentation: &Presentation) -> Result<Response, PersonError> {
        let line = serde_json::to_string(&Asked { n, presentation })
            .map_err(|error| PersonError(error.to_string()))?;
        self.say(&line)?;
        let answer = self.listen(n)?;
        let missing = |field: &str| {
            PersonError(format!(
                "standard input: answer to {n}: expected the field {field}"
            ))
        };
        match presentation.task {
            Task::Detect => {
                let mut presses = answer.yes_at_s.ok_or_else(|| missing("yes_at_s"))?;
                if presses.iter().any(|at| !(0.0..=3600.0).contains(at)) {
                    let what = "yes_at_s: expected seconds from 0 to 3600";
                    return Err(PersonError(format!(
                        "standard input: answer to {n}: {what}"
                    )));
                }
                presses.sort_by(f64::total_cmp);
                Ok(Response::Presses(presses))
            }
            Task::Interval => answer
                .interval
                .map(Response::Interval)
                .ok_or_else(|| missing("interval")),
            Task::Count => answer
                .count
                .map(Response::Count)
                .ok_or_else(|| missing("count")),
            Task::Facing => {
                let facing = answer.facing.ok_or_else(|| missing("facing"))?;
                let after_s = answer.after_s.ok_or_else(|| missing("after_s"))?;
                let after_s = after_s.clamp(0.0, 3600.0);
                Ok(Response::Facing { facing, after_s })
            }
            Task::Sees => {
                let sees = answer.sees.ok_or_else(|| missing("sees"))?;
                let after_s = answer.after_s.map(|after_s| after_s.clamp(0.0, 3600.0));
                Ok(Response::Sees { sees, after_s })
            }
            Task::Letters => {
                let letters = answer.letters.ok_or_else(|| missing("letters"))?;
                let shown = presentation.optotypes().count();
                let letters = named(&letters, shown).map_err(|what| {
                    PersonError(format!("standard input: answer to {n}: letters: {what}"))
                })?;
                let after_s = answer.after_s.map(|after_s| after_s.clamp(0.0, 3600.0));
                Ok(Response::Letters { letters, after_s })
            }
        }
    }

    fn reply(&mut self, n: u32, prompted: &Prompted<'_>) -> Result<Replied, PersonError> {
        let line = serde_json::to_string(&Prompting {
            n,
            task: prompted.kind.name(),
            parts: prompted.parts(),
        })
        .map_err(|error| PersonError(error.to_string()))?;
        self.say(&line)?;
        let answer = self.listen(n)?;
        let replies = prompted.kind.replies();
        match answer.reply.filter(|reply| replies.contains(reply)) {
            Some(reply) => Ok(Replied {
                reply,
                after_s: answer.after_s.unwrap_or(0.0).clamp(0.0, 3600.0),
            }),
            None => Err(PersonError(format!(
                "standard input: answer to {n}: reply: expected one of {}",
                serde_json::to_string(&replies).unwrap_or_default()
            ))),
        }
    }

    /// The other program keeps its own memory.
    fn recall(&mut self, _: u32, _: &Presentation) -> Result<(), PersonError> {
        Ok(())
    }

    fn farewell(&mut self) -> Result<(), PersonError> {
        self.say(r#"{"done": true}"#)
    }
}
