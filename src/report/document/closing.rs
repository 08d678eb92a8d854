//! Who signs the report and what that means, and the chain it rests on.

use super::filed::{clock, date, grouped};
use super::{Block, Said, paragraph, small};
use crate::report::page::{run, size};
use crate::report::words::Key;

pub(super) fn blocks(said: &Said) -> Vec<Block> {
    let (filed, record) = (said.filed, said.filed.record);
    let lines = filed.head.lines.to_string();
    let then = record.opening.mathematics.to_string();
    let now = filed.findings.mathematics.to_string();
    let closed = said.w(if record.closed() {
        Key::ClosedYes
    } else {
        Key::ClosedNo
    });
    let chain = said.f(
        Key::ChainLine,
        &[&grouped(&filed.head.hash), &lines, closed],
    );
    let program = said.f(Key::ProgramLine, &[&record.opening.program, &then, &now]);
    let mut signing = vec![Block::Heading(1, said.w(Key::SignatureHead).to_owned())];
    signing.extend(filed.signed.map(|signed| {
        let time = format!("{}, {} UTC", date(signed.at, said.lang), clock(signed.at));
        let words = said.f(Key::SignedWith, &[&time, &grouped(&signed.key)]);
        paragraph(vec![run(words)])
    }));
    signing.extend([
        small(vec![run(said.w(Key::SignatureMeaning))]),
        Block::Lines(
            [
                Key::SignName,
                Key::SignMeaning,
                Key::SignDate,
                Key::SignSignature,
            ]
            .map(|key| said.w(key).to_owned())
            .to_vec(),
        ),
        Block::Paragraph(
            vec![
                run(format!("{} ", said.w(Key::ChainHead))).strong(),
                run(chain),
                run(" "),
                run(program),
            ],
            size::TINY + 0.4,
            7.0,
        ),
    ]);
    vec![Block::Together(signing)]
}
