//! Tables: quiet rules above and below the head and at the foot, none between columns.

use super::super::figure::shape::{Ink, Shape, Stroke, at};
use super::super::print::{Leaf, Role, Tree};
use super::text::{Line, lines};
use super::{Again, LEADING, Layout, Slab, Text, moved, ornament, size};
use std::rc::Rc;

/// To which side of its column a cell keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    Start,
    End,
}

/// A column.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub head: Text,
    /// Its share of the width.
    pub share: f32,
    pub align: Align,
}

/// A cell.
pub(crate) type Cell = Text;

/// A table.
#[derive(Debug, Clone)]
pub(crate) struct Grid {
    pub columns: Vec<Column>,
    /// Each as long as the columns.
    pub rows: Vec<Vec<Cell>>,
    /// Rows that begin a group: a finer rule stands above them.
    pub groups: Vec<usize>,
    /// Whether the first cell of a row heads it.
    pub row_heads: bool,
    pub size: f32,
    /// Free above and below the text of a row.
    pub pad: f32,
}

impl Grid {
    /// A table of the usual size.
    pub(crate) fn new(columns: Vec<Column>, rows: Vec<Vec<Cell>>) -> Grid {
        Grid {
            columns,
            rows,
            groups: Vec::new(),
            row_heads: true,
            size: size::SMALL,
            pad: 1.5,
        }
    }
}

/// Between columns, points.
const APART: f32 = 8.0;
/// A row of more lines than this may be broken between pages.
const MOST_LINES: usize = 30;

/// Where a column lies: its left and its width.
type Lane = (f32, f32);

impl Layout {
    pub(super) fn table(&mut self, grid: &Grid, width: f32) -> (Vec<Slab>, Vec<Tree>) {
        let lanes = lanes(&grid.columns, width);
        let mut slabs = Vec::new();
        let mut groups = Vec::new();
        let has_head = grid.columns.iter().any(|column| !column.head.is_empty());
        let mut again = None;
        if has_head {
            let cells: Vec<Cell> = grid.columns.iter().map(|one| one.head.clone()).collect();
            let (mut head, row) = self.row(grid, &cells, &lanes, true);
            let head_height: f32 = head.iter().map(|slab| slab.height).sum();
            if let Some(last) = head.last_mut() {
                let below = Shape::level([0.0, width], last.height, Stroke::new(0.6, Ink::Quiet));
                last.leaves.push(ornament(vec![below]));
                last.height += 1.5;
            }
            let shapes = head.iter().flat_map(|slab| &slab.leaves);
            again = Some(Rc::new(Again {
                height: head_height + 1.5,
                shapes: shapes.flat_map(|leaf| leaf.shapes.clone()).collect(),
            }));
            for slab in &mut head {
                slab.keep = true;
            }
            slabs.extend(head);
            groups.push(Tree::Group(Role::TableHead, vec![row]));
        }
        let mut body = Vec::new();
        for (at_row, cells) in grid.rows.iter().enumerate() {
            let (mut own, row) = self.row(grid, cells, &lanes, false);
            if let Some(first) = own.first_mut().filter(|_| grid.groups.contains(&at_row)) {
                let above = Shape::level([0.0, width], 0.0, Stroke::new(0.5, Ink::Hair));
                let leaves = std::mem::take(&mut first.leaves).into_iter();
                first.leaves = leaves.map(|leaf| moved(leaf, at(0.0, 1.0))).collect();
                first.leaves.push(ornament(vec![above]));
                first.height += 1.0;
            }
            for slab in &mut own {
                slab.again.clone_from(&again);
            }
            slabs.extend(own);
            body.push(row);
        }
        if let Some(last) = slabs.last_mut() {
            let below = Shape::level(
                [0.0, width],
                last.height + 0.5,
                Stroke::new(0.6, Ink::Quiet),
            );
            last.leaves.push(ornament(vec![below]));
            last.height += 1.5;
        }
        if let Some(first) = slabs.first_mut() {
            first.gap = 5.0;
        }
        groups.push(Tree::Group(Role::TableBody, body));
        (slabs, vec![Tree::Group(Role::Table, groups)])
    }

    fn row(
        &mut self,
        grid: &Grid,
        cells: &[Cell],
        lanes: &[Lane],
        head: bool,
    ) -> (Vec<Slab>, Tree) {
        let broken: Vec<Vec<Line>> = cells
            .iter()
            .zip(lanes)
            .map(|(cell, (_, wide))| lines(cell, grid.size, *wide))
            .collect();
        let most = broken.iter().map(Vec::len).max().unwrap_or(1);
        // Heads of several lines stand on the foot of their row.
        let skipped = |own: usize| if head { most - own } else { 0 };
        // All of a line stand on one base, whatever is largest in it.
        let largest: Vec<f32> = (0..most)
            .map(|at_line| {
                let there = broken.iter().filter_map(|all| {
                    let own = at_line.checked_sub(skipped(all.len()))?;
                    Some(all.get(own)?.times())
                });
                there.fold(1.0, f32::max)
            })
            .collect();
        let high = |at_line: usize| LEADING * grid.size * largest[at_line];
        let parts = most.div_ceil(MOST_LINES);
        let mut slabs: Vec<Slab> = (0..parts)
            .map(|part| {
                let own = part * MOST_LINES..most.min((part + 1) * MOST_LINES);
                Slab {
                    height: own.map(high).sum::<f32>() + 2.0 * grid.pad,
                    ..Slab::default()
                }
            })
            .collect();
        let mut order = Vec::new();
        for (place, (all, lane)) in broken.into_iter().zip(lanes).enumerate() {
            let role = match (head, place) {
                (true, _) => Role::ColumnHead,
                (false, 0) if grid.row_heads => Role::RowHead,
                (false, _) => Role::Cell,
            };
            let align = grid
                .columns
                .get(place)
                .map_or(Align::Start, |one| one.align);
            let own = all.len();
            let skip = skipped(own);
            let mut within = Vec::new();
            for (at_own, line) in all.into_iter().enumerate() {
                let at_line = at_own + skip;
                let ends = at_own + 1 == own;
                let place = (lane.0, lane.1, align, largest[at_line]);
                let (leaves, tree) = self.line(line, grid.size, place, ends);
                within.extend(tree);
                let begun = at_line - at_line % MOST_LINES;
                let down = grid.pad + (begun..at_line).map(high).sum::<f32>();
                if let Some(slab) = slabs.get_mut(at_line / MOST_LINES) {
                    let placed = |leaf: Leaf| moved(leaf, at(0.0, down));
                    slab.leaves.extend(leaves.into_iter().map(placed));
                }
            }
            order.push(Tree::Group(role, within));
        }
        (slabs, Tree::Group(Role::Row, order))
    }
}

/// Where the columns lie.
fn lanes(columns: &[Column], width: f32) -> Vec<Lane> {
    let free = width - APART * columns.len().saturating_sub(1) as f32;
    let whole: f32 = columns.iter().map(|column| column.share).sum();
    let mut left = 0.0;
    columns
        .iter()
        .map(|column| {
            let own = free * column.share / whole;
            let lane = (left, own);
            left += own + APART;
            lane
        })
        .collect()
}
