//! The report's type: three faces of one family, measured and shaped here once for every way of
//! drawing, so that paper and picture look alike.
//!
//! Source Sans 3 (Adobe, SIL Open Font License 1.1, `fonts/LICENSE.md`), unchanged: its figures are
//! all of one width. A PDF embeds only the letters that it uses.

use crate::report::figure::shape::Face;
use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder};
use rustybuzz::{ShapePlan, UnicodeBuffer, ttf_parser};
use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::LazyLock;

const PLAIN: &[u8] = include_bytes!("../fonts/SourceSans3-Regular.otf");
const STRONG: &[u8] = include_bytes!("../fonts/SourceSans3-Semibold.otf");
const SLANTED: &[u8] = include_bytes!("../fonts/SourceSans3-It.otf");

/// Half of the height of capitals and figures, in sizes: what centres them on a line.
pub(super) const HALF_CAPITAL: f32 = 0.33;
/// From the top of a line to the line that letters stand on, in sizes.
pub const ABOVE_BASE: f32 = 0.80;
/// From there to the foot of a line, in sizes.
pub const BELOW_BASE: f32 = 0.22;

/// A letter as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Glyph {
    /// Its number in the face.
    pub id: u16,
    /// How far the next one stands, in sizes.
    pub advance: f32,
    /// How far it is moved to the right and up, in sizes.
    pub offset: [f32; 2],
    /// Which bytes of the text it stands for.
    pub bytes: Range<usize>,
}

/// A piece of an outline, in sizes, upward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Segment {
    Move([f32; 2]),
    Line([f32; 2]),
    Quad([[f32; 2]; 2]),
    Cubic([[f32; 2]; 3]),
    Close,
}

struct Loaded {
    face: rustybuzz::Face<'static>,
    plan: ShapePlan,
}

impl Loaded {
    /// None of a file that is no font, which a test rules out.
    fn of(bytes: &'static [u8]) -> Option<Loaded> {
        let face = rustybuzz::Face::from_slice(bytes, 0)?;
        let plan = ShapePlan::new(
            &face,
            rustybuzz::Direction::LeftToRight,
            Some(rustybuzz::script::LATIN),
            None,
            &[],
        );
        Some(Loaded { face, plan })
    }

    fn em(&self) -> f32 {
        self.face.units_per_em() as f32
    }
}

static FACES: LazyLock<[Option<Loaded>; 3]> =
    LazyLock::new(|| [PLAIN, STRONG, SLANTED].map(Loaded::of));

fn loaded(face: Face) -> Option<&'static Loaded> {
    FACES[face as usize].as_ref()
}

/// The file of a face.
pub(super) fn file(face: Face) -> &'static [u8] {
    match face {
        Face::Plain => PLAIN,
        Face::Strong => STRONG,
        Face::Slanted => SLANTED,
    }
}

/// The letters of a text from left to right.
pub(crate) fn glyphs(text: &str, face: Face) -> Vec<Glyph> {
    let Some(loaded) = loaded(face) else {
        return Vec::new();
    };
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(rustybuzz::Direction::LeftToRight);
    buffer.set_script(rustybuzz::script::LATIN);
    let shaped = rustybuzz::shape_with_plan(&loaded.face, &loaded.plan, buffer);
    let em = loaded.em();
    let (infos, positions) = (shaped.glyph_infos(), shaped.glyph_positions());
    infos
        .iter()
        .zip(positions)
        .enumerate()
        .map(|(at, (info, position))| {
            let start = info.cluster as usize;
            let next = infos[at + 1..]
                .iter()
                .find(|one| one.cluster > info.cluster);
            Glyph {
                id: info.glyph_id as u16,
                advance: position.x_advance as f32 / em,
                offset: [position.x_offset as f32 / em, position.y_offset as f32 / em],
                bytes: start..next.map_or(text.len(), |next| next.cluster as usize),
            }
        })
        .collect()
}

thread_local! {
    /// Widths that were asked for, in sizes: a page asks for the same words many times.
    static KNOWN: RefCell<HashMap<(Face, String), f32>> = RefCell::default();
}
/// How many are kept at most.
const MOST_KNOWN: usize = 20_000;

/// How wide a text is at a size.
#[must_use]
pub fn width(text: &str, face: Face, size: f32) -> f32 {
    KNOWN.with_borrow_mut(|known| {
        let key = (face, text.to_owned());
        if let Some(wide) = known.get(&key) {
            return size * wide;
        }
        let wide = glyphs(text, face).iter().map(|glyph| glyph.advance).sum();
        if known.len() >= MOST_KNOWN {
            known.clear();
        }
        known.insert(key, wide);
        size * wide
    })
}

/// A text broken into lines of at most `within`, between words; a longer word stands alone.
#[must_use]
pub fn broken(text: &str, face: Face, size: f32, within: f32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), face, size) <= within => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Whether a face has all letters of a text.
#[must_use]
pub fn has(text: &str, face: Face) -> bool {
    loaded(face).is_some_and(|loaded| {
        text.chars()
            .all(|letter| loaded.face.glyph_index(letter).is_some())
    })
}

/// A text without what the face cannot write; what people typed may hold anything.
#[must_use]
pub fn writable(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            '\t' | '\n' | '\r' => ' ',
            letter if has(letter.encode_utf8(&mut [0; 4]), Face::Plain) => letter,
            _ => '\u{b7}',
        })
        .collect()
}

/// The outline of a letter.
pub(super) fn outline(id: u16, face: Face) -> Vec<Segment> {
    let mut drawn = Outline {
        em: 1.0,
        segments: Vec::new(),
    };
    if let Some(loaded) = loaded(face) {
        drawn.em = loaded.em();
        let face: &ttf_parser::Face = &loaded.face;
        face.outline_glyph(GlyphId(id), &mut drawn);
    }
    drawn.segments
}

struct Outline {
    em: f32,
    segments: Vec<Segment>,
}

impl Outline {
    fn place(&self, x: f32, y: f32) -> [f32; 2] {
        [x / self.em, y / self.em]
    }
}

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.segments.push(Segment::Move(self.place(x, y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.segments.push(Segment::Line(self.place(x, y)));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let both = [self.place(x1, y1), self.place(x, y)];
        self.segments.push(Segment::Quad(both));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let all = [self.place(x1, y1), self.place(x2, y2), self.place(x, y)];
        self.segments.push(Segment::Cubic(all));
    }
    fn close(&mut self) {
        self.segments.push(Segment::Close);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::words::{Key, Lang};

    const FACES: [Face; 3] = [Face::Plain, Face::Strong, Face::Slanted];

    /// The widths are those of the family's own tables, read by fontTools 4: a figure is 497, 513
    /// and 480 thousandths of the size wide, a comma 249, 275 and 242.
    #[test]
    fn figures_are_all_of_one_width() {
        for (face, figure, comma) in [
            (Face::Plain, 0.497, 0.249),
            (Face::Strong, 0.513, 0.275),
            (Face::Slanted, 0.480, 0.242),
        ] {
            for digit in '0'..='9' {
                let wide = width(&digit.to_string(), face, 1.0);
                assert!((wide - figure).abs() < 1e-6, "{digit} {wide}");
            }
            assert!((width(",", face, 10.0) - 10.0 * comma).abs() < 1e-5);
        }
    }

    #[test]
    fn every_face_can_write_every_text() {
        for lang in Lang::ALL {
            for key in Key::ALL {
                for face in FACES {
                    assert!(has(lang.text(*key), face), "{key:?}");
                }
            }
        }
        assert_eq!(writable("a\u{4e2d}\tb"), "a\u{b7} b");
    }

    #[test]
    fn lines_keep_within_and_lose_no_word() {
        let text = "not tested is said and never left blank on any page";
        let lines = broken(text, Face::Plain, 10.0, 80.0);
        assert_eq!(lines.join(" "), text);
        assert!(lines.len() > 2);
        for line in &lines {
            assert!(width(line, Face::Plain, 10.0) <= 80.0);
        }
    }
}
