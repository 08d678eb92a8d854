//! Lays blocks out on pages.
//!
//! Every block becomes slabs: strips that are not broken, as high as they are, one below another.
//! While they are laid the order of reading grows beside them.

mod block;
mod table;
mod text;

pub(crate) use block::{Block, Picture, Share};
pub(crate) use table::{Align, Cell, Column, Grid};
pub(crate) use text::{Run, Text, run};

use super::figure::shape::{Point, Shape, at};
use super::print::{Leaf, Paper, Tree};
use super::words::Lang;
use std::rc::Rc;

/// Points a millimetre (ISO 32000-1, 8.3.2.3: 72 an inch).
pub(crate) const MM: f32 = 72.0 / 25.4;

/// Sizes of type, points.
pub(crate) mod size {
    /// The document's title.
    pub(crate) const TITLE: f32 = 21.0;
    /// The result of an ear or eye.
    pub(crate) const RESULT: f32 = 13.5;
    /// Headings of the first and second order.
    pub(crate) const HEADING: [f32; 2] = [12.5, 9.6];
    /// Text.
    pub(crate) const BODY: f32 = 8.8;
    /// Tables and what is read line by line.
    pub(crate) const SMALL: f32 = 7.6;
    /// The page's own lines.
    pub(crate) const TINY: f32 = 6.8;
}

/// From one line to the next, in sizes: between the 1.2 and 1.45 that are usual for text (from memory),
/// near the lower end because lines are short and pages few.
pub(crate) const LEADING: f32 = 1.26;

/// A strip that is not broken.
#[derive(Debug, Clone, Default)]
pub(crate) struct Slab {
    /// Free above it, unless it is the first on a page.
    pub gap: f32,
    pub height: f32,
    /// From its left and top.
    pub leaves: Vec<Leaf>,
    /// Never the last on a page.
    pub keep: bool,
    /// What is drawn again above it where a table goes on on another page.
    pub again: Option<Rc<Again>>,
}

/// The head of a table that goes on.
#[derive(Debug, Default)]
pub(crate) struct Again {
    pub height: f32,
    pub shapes: Vec<Shape>,
}

/// Where slabs and their order of reading are collected.
pub(crate) struct Layout {
    pub lang: Lang,
    /// How high a page's body is: nothing is higher.
    pub body: f32,
    next: usize,
}

impl Layout {
    pub(crate) fn new(lang: Lang, body: f32) -> Layout {
        Layout {
            lang,
            body,
            next: 0,
        }
    }

    /// A leaf that is read, and its place in the order.
    fn leaf(&mut self, is_text: bool, lang: Option<Lang>, shapes: Vec<Shape>) -> (Leaf, Tree) {
        let number = self.next;
        self.next += 1;
        let leaf = Leaf {
            number: Some(number),
            lang: lang.filter(|lang| *lang != self.lang),
            is_text,
            shapes,
        };
        (leaf, Tree::Leaf(number))
    }

    /// Lays blocks one below another.
    pub(crate) fn all(&mut self, blocks: &[Block], width: f32) -> (Vec<Slab>, Vec<Tree>) {
        let (mut slabs, mut tree) = (Vec::new(), Vec::new());
        for block in blocks {
            let (more, order) = self.block(block, width);
            slabs.extend(more);
            tree.extend(order);
        }
        (slabs, tree)
    }
}

/// An ornament: drawn, and not read.
pub(crate) fn ornament(shapes: Vec<Shape>) -> Leaf {
    Leaf {
        number: None,
        lang: None,
        is_text: false,
        shapes,
    }
}

fn moved(leaf: Leaf, by: Point) -> Leaf {
    let shapes = leaf.shapes.into_iter();
    Leaf {
        shapes: shapes.map(|shape| shape.scaled(1.0, by)).collect(),
        ..leaf
    }
}

/// The height of slabs one below another, the first one's gap left out.
fn height(slabs: &[Slab]) -> f32 {
    let all: f32 = slabs.iter().map(|slab| slab.gap + slab.height).sum();
    all - slabs.first().map_or(0.0, |slab| slab.gap)
}

/// Makes one slab of slabs.
fn joined(slabs: Vec<Slab>) -> Slab {
    let gap = slabs.first().map_or(0.0, |slab| slab.gap);
    let whole = height(&slabs);
    let mut leaves = Vec::new();
    let mut top = -gap;
    for slab in slabs {
        top += slab.gap;
        let all = slab.leaves.into_iter();
        leaves.extend(all.map(|leaf| moved(leaf, at(0.0, top))));
        top += slab.height;
    }
    Slab {
        gap,
        height: whole,
        leaves,
        ..Slab::default()
    }
}

/// A page's measures, points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Form {
    pub size: [f32; 2],
    pub left: f32,
    pub top: f32,
    pub right: f32,
    pub foot: f32,
}

impl Form {
    /// How wide the body is.
    pub(crate) fn width(&self) -> f32 {
        self.size[0] - self.left - self.right
    }

    /// How high the body is.
    pub(crate) fn height(&self) -> f32 {
        self.size[1] - self.top - self.foot
    }
}

/// Puts slabs on pages; `around` draws what stands around the body of page `n` of all.
pub(crate) fn pages(
    slabs: Vec<Slab>,
    form: Form,
    around: impl Fn(usize, usize) -> Vec<Shape>,
) -> Vec<Paper> {
    let mut pages: Vec<Vec<Leaf>> = vec![Vec::new()];
    let mut used = 0.0;
    let mut waiting: Vec<Slab> = Vec::new();
    for slab in slabs {
        let keep = slab.keep;
        waiting.push(slab);
        // What must not stand last waits for what follows.
        if keep && height(&waiting) < form.height() {
            continue;
        }
        place(std::mem::take(&mut waiting), form, &mut pages, &mut used);
    }
    place(waiting, form, &mut pages, &mut used);
    let count = pages.len();
    let pages = pages.into_iter().enumerate();
    pages
        .map(|(at_page, leaves)| {
            let mut all = vec![ornament(around(at_page + 1, count))];
            all.extend(leaves);
            Paper {
                size: form.size,
                leaves: all,
            }
        })
        .collect()
}

fn place(slabs: Vec<Slab>, form: Form, pages: &mut Vec<Vec<Leaf>>, used: &mut f32) {
    let Some(first) = slabs.first() else {
        return;
    };
    let gap = if *used == 0.0 { 0.0 } else { first.gap };
    if *used > 0.0 && *used + gap + height(&slabs) > form.height() + 0.01 {
        pages.push(Vec::new());
        *used = 0.0;
        if let Some(again) = &first.again {
            let head = ornament(again.shapes.clone());
            let head = moved(head, at(form.left, form.top));
            *used = again.height;
            pages
                .last_mut()
                .into_iter()
                .for_each(|page| page.push(head.clone()));
        }
    }
    for slab in slabs {
        *used += if *used == 0.0 { 0.0 } else { slab.gap };
        let by = at(form.left, form.top + *used);
        let leaves = slab.leaves.into_iter().map(|leaf| moved(leaf, by));
        if let Some(page) = pages.last_mut() {
            page.extend(leaves);
        }
        *used += slab.height;
    }
}
