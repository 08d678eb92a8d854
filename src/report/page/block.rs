//! Blocks, and how each is laid.

use super::super::figure::Drawing;
use super::super::figure::shape::{Area, Ink, Shape, Stroke, at};
use super::super::print::{Role, Tree};
use super::text::lines;
use super::{Align, Grid, LEADING, Layout, Slab, Text, height, joined, moved, ornament, run, size};

/// A block of a document.
pub(crate) enum Block {
    /// The title, or a heading of the first or second order.
    Heading(u8, String),
    /// A paragraph: its text, its size, and the space above it.
    Paragraph(Text, f32, f32),
    /// A list without numbers.
    Items(Vec<Text>, f32),
    /// A table.
    Table(Grid),
    /// A figure.
    Picture(Picture),
    /// Blocks beside one another, each with its share of the width.
    Beside(Vec<(Share, Vec<Block>)>),
    /// Blocks that stay together.
    Together(Vec<Block>),
    /// Space.
    Space(f32),
    /// Free lines to write on, each over its name; of one width each.
    Lines(Vec<String>),
}

/// How wide a column is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Share {
    /// So many points.
    Points(f32),
    /// So many parts of what is left.
    Part(f32),
}

/// A figure in a document.
pub(crate) struct Picture {
    pub drawing: Box<dyn Drawing>,
    /// How high, points.
    pub height: f32,
    /// How many times as large as a figure is laid out for.
    pub times: f32,
}

/// Between blocks that stand beside one another, points.
const BESIDE: f32 = 18.0;

type Laid = (Vec<Slab>, Vec<Tree>);

impl Layout {
    pub(super) fn block(&mut self, block: &Block, width: f32) -> Laid {
        match block {
            Block::Heading(level, text) => self.heading(*level, text, width),
            Block::Paragraph(text, size, above) => {
                self.paragraph(text, *size, *above, width, &Role::Paragraph)
            }
            Block::Items(items, size) => self.items(items, *size, width),
            Block::Table(grid) => self.table(grid, width),
            Block::Picture(picture) => self.picture(picture, width),
            Block::Beside(parts) => self.beside(parts, width),
            Block::Together(blocks) => {
                let (slabs, tree) = self.all(blocks, width);
                if height(&slabs) > self.body {
                    return (slabs, tree);
                }
                (vec![joined(slabs)], tree)
            }
            Block::Space(height) => {
                let slab = Slab {
                    gap: *height,
                    ..Slab::default()
                };
                (vec![slab], Vec::new())
            }
            Block::Lines(names) => self.free_lines(names, width),
        }
    }

    fn heading(&mut self, level: u8, text: &str, width: f32) -> Laid {
        let (own, above, ink) = match level {
            0 => (size::TITLE, 0.0, Ink::Accent),
            1 => (size::HEADING[0], 13.0, Ink::Accent),
            _ => (size::HEADING[1], 8.0, Ink::Text),
        };
        let words = vec![run(text).strong().ink(ink)];
        let role = Role::Heading(level + 1, text.to_owned());
        let (mut slabs, tree) = self.paragraph(&words, own, above, width, &role);
        if let Some(last) = slabs.last_mut().filter(|_| level == 1) {
            let y = last.height + 1.5;
            let rule = Shape::level([0.0, width], y, Stroke::new(0.7, Ink::Accent));
            last.leaves.push(ornament(vec![rule]));
            last.height += 5.0;
        }
        for slab in &mut slabs {
            slab.keep = true;
        }
        (slabs, tree)
    }

    pub(super) fn paragraph(
        &mut self,
        text: &Text,
        size: f32,
        above: f32,
        width: f32,
        role: &Role,
    ) -> Laid {
        let all = lines(text, size, width);
        let count = all.len();
        let (mut slabs, mut order) = (Vec::new(), Vec::new());
        for (at_line, line) in all.into_iter().enumerate() {
            let times = line.times();
            let ends = at_line + 1 == count;
            let (leaves, tree) = self.line(line, size, (0.0, width, Align::Start, times), ends);
            order.extend(tree);
            slabs.push(Slab {
                gap: if at_line == 0 { above } else { 0.0 },
                height: LEADING * size * times,
                leaves,
                // No single first or last line alone on a page.
                keep: count > 1 && (at_line == 0 || at_line + 2 == count),
                again: None,
            });
        }
        let is_empty = order.is_empty();
        let tree = (!is_empty).then(|| Tree::Group(role.clone(), order));
        (slabs, tree.into_iter().collect())
    }

    fn items(&mut self, items: &[Text], size: f32, width: f32) -> Laid {
        const INDENT: f32 = 9.0;
        let (mut slabs, mut order) = (Vec::new(), Vec::new());
        for text in items {
            let (mut own, tree) = self.paragraph(text, size, 2.0, width - INDENT, &Role::ItemBody);
            for slab in &mut own {
                let leaves = std::mem::take(&mut slab.leaves).into_iter();
                slab.leaves = leaves.map(|leaf| moved(leaf, at(INDENT, 0.0))).collect();
            }
            if let Some(first) = own.first_mut() {
                let dot = Shape::disc(at(3.0, 0.62 * size), 0.11 * size, Ink::Accent);
                first.leaves.push(ornament(vec![dot]));
            }
            slabs.extend(own);
            order.push(Tree::Group(Role::Item, tree));
        }
        let tree = (!order.is_empty()).then_some(Tree::Group(Role::List, order));
        (slabs, tree.into_iter().collect())
    }

    fn picture(&mut self, picture: &Picture, width: f32) -> Laid {
        let times = picture.times;
        let area = Area::sized(at(0.0, 0.0), width / times, picture.height / times);
        let drawn = picture.drawing.shapes(area, self.lang).into_iter();
        let shapes = drawn
            .map(|shape| shape.scaled(times, at(0.0, 0.0)))
            .collect();
        let (leaf, tree) = self.leaf(false, None, shapes);
        let told = picture.drawing.told(self.lang);
        let slab = Slab {
            gap: 6.0,
            height: picture.height,
            leaves: vec![leaf],
            ..Slab::default()
        };
        (
            vec![slab],
            vec![Tree::Group(Role::Figure(told), vec![tree])],
        )
    }

    fn beside(&mut self, parts: &[(Share, Vec<Block>)], width: f32) -> Laid {
        let free = width - BESIDE * parts.len().saturating_sub(1) as f32;
        let fixed = |share: Share| match share {
            Share::Points(points) => points,
            Share::Part(_) => 0.0,
        };
        let part = |share: Share| match share {
            Share::Points(_) => 0.0,
            Share::Part(part) => part,
        };
        let left_over = free - parts.iter().map(|(share, _)| fixed(*share)).sum::<f32>();
        let whole: f32 = parts.iter().map(|(share, _)| part(*share)).sum();
        let before = self.next;
        let (mut columns, mut order, mut left) = (Vec::new(), Vec::new(), 0.0);
        for (share, blocks) in parts {
            let own = fixed(*share) + left_over * part(*share) / whole.max(1e-6);
            let (slabs, tree) = self.all(blocks, own);
            columns.push((left, slabs));
            order.extend(tree);
            left += own + BESIDE;
        }
        let highest = columns.iter().map(|(_, slabs)| height(slabs));
        let highest = highest.fold(0.0, f32::max);
        if highest > self.body {
            // Too high to stand side by side on one page: one below another instead.
            self.next = before;
            let (mut slabs, mut order) = (Vec::new(), Vec::new());
            for (_, blocks) in parts {
                let (more, tree) = self.all(blocks, width);
                slabs.extend(more);
                order.extend(tree);
            }
            return (slabs, order);
        }
        let mut leaves = Vec::new();
        let mut gap: f32 = 0.0;
        for (left, slabs) in columns {
            let own = joined(slabs);
            gap = gap.max(own.gap);
            let all = own.leaves.into_iter();
            leaves.extend(all.map(|leaf| moved(leaf, at(left, 0.0))));
        }
        let slab = Slab {
            gap,
            height: highest,
            leaves,
            ..Slab::default()
        };
        (vec![slab], order)
    }

    fn free_lines(&mut self, names: &[String], width: f32) -> Laid {
        const APART: f32 = 16.0;
        const HIGH: f32 = 26.0;
        let own = (width - APART * names.len().saturating_sub(1) as f32) / names.len() as f32;
        let (mut leaves, mut order, mut height) = (Vec::new(), Vec::new(), HIGH);
        for (place, name) in names.iter().enumerate() {
            let left = place as f32 * (own + APART);
            let rule = Shape::level([left, left + own], HIGH, Stroke::new(0.6, Ink::Quiet));
            leaves.push(ornament(vec![rule]));
            let words = vec![run(name).soft()];
            let (slabs, tree) = self.paragraph(&words, size::TINY, 0.0, own, &Role::Paragraph);
            let below = joined(slabs);
            height = height.max(HIGH + below.height);
            let all = below.leaves.into_iter();
            leaves.extend(all.map(|leaf| moved(leaf, at(left, HIGH + 1.0))));
            order.extend(tree);
        }
        let slab = Slab {
            gap: 4.0,
            height,
            leaves,
            ..Slab::default()
        };
        (vec![slab], order)
    }
}
