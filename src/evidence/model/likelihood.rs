//! How likely all answers are under one way of answering: the level of each ear and frequency
//! summed over on an even grid.

use super::way::{Asking, By, Way};
use super::weighed::{Asked, Part, Weighed};
use crate::quantity::{Ear, Hz, largest, wide};

/// The grid of levels, dB: no level is likelier than another.
pub(super) const FIRST_DB: f64 = -20.0;
pub(super) const STEP_DB: f64 = 2.5;
pub(super) const POINTS: usize = 63;
/// Answers at one ear and frequency are a block as long as no more presentations than these, in
/// hundreds, lie between the first and the last: in the next the level may have wandered. Our choice,
/// about the time in which half of a wander is forgotten.
const BLOCK: f64 = 0.12;
const PARTS: usize = Part::ALL.len();

type Levels = [f64; POINTS];

/// The answers, laid out by ear and frequency, and there by blocks.
pub(super) struct Laid {
    places: Vec<Vec<Block>>,
    silent: Vec<Weighed>,
    made: [bool; PARTS],
}

struct Block {
    part: Part,
    answers: Vec<Weighed>,
}

/// ln likelihoods under one way: of all answers, and without each part.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fit {
    pub all: f64,
    pub without: [f64; PARTS],
}

impl Laid {
    pub fn of(answers: &[Weighed]) -> Laid {
        let mut keys: Vec<(Ear, Hz)> = Vec::new();
        let mut laid = Laid {
            places: Vec::new(),
            silent: Vec::new(),
            made: [false; PARTS],
        };
        for answer in answers {
            laid.made[answer.part as usize] = true;
            if answer.asked == Asked::Silent {
                laid.silent.push(*answer);
                continue;
            }
            let key = (answer.ear, answer.hz);
            let at = keys
                .iter()
                .position(|known| *known == key)
                .unwrap_or_else(|| {
                    keys.push(key);
                    laid.places.push(Vec::new());
                    keys.len() - 1
                });
            let blocks = &mut laid.places[at];
            let goes_on = blocks.last().is_some_and(|block: &Block| {
                let first = block.answers.first();
                let near = first.is_some_and(|first| answer.hundreds - first.hundreds <= BLOCK);
                near && block.part == answer.part
            });
            if !goes_on {
                blocks.push(Block {
                    part: answer.part,
                    answers: Vec::new(),
                });
            }
            if let Some(block) = blocks.last_mut() {
                block.answers.push(*answer);
            }
        }
        laid
    }

    pub fn made(&self, part: Part) -> bool {
        self.made[part as usize]
    }
}

/// The ln likelihood under one way.
pub(super) fn fit(way: &Way, laid: &Laid) -> Fit {
    let silent: f64 = laid
        .silent
        .iter()
        .map(|answer| libm::log(way.likelihood(answer, 0.0)))
        .sum();
    let mut sums = Fit {
        all: silent,
        without: [silent; PARTS],
    };
    sums.without[Part::Silent as usize] = 0.0;
    let heard = Heard::of(way);
    let wander = Wander::of(way);
    for blocks in &laid.places {
        let of_place = place(way, &heard, wander.as_ref(), blocks);
        sums.all += of_place.all;
        for (sum, without) in sums.without.iter_mut().zip(of_place.without) {
            *sum += without;
        }
    }
    sums
}

fn place(way: &Way, heard: &Heard, wander: Option<&Wander>, blocks: &[Block]) -> Fit {
    // One block alone may stand anywhere: its wander is the level's own.
    let wander = wander.filter(|_| blocks.len() > 1);
    let by_block: Vec<(Part, Levels, f64)> = blocks
        .iter()
        .map(|block| {
            let (levels, log_scale) = levels_of(way, heard, &block.answers);
            let levels = wander.map_or(levels, |wander| wander.wandered(&levels));
            (block.part, levels, log_scale)
        })
        .collect();
    let pull = blocks
        .first()
        .and_then(|block| block.answers.first())
        .map_or(0.0, |answer| way.pull_at(answer.ear));
    // Where a bar is pulled to its company, a dB of the grid is less than a dB of the bar: without this
    // factor a bar near its company, so a smooth audiogram, would count as evidence of one.
    let each = (1.0 - pull) / POINTS as f64;
    let without = |left_out: Option<Part>| {
        let mut product = [each; POINTS];
        let mut log = 0.0;
        wide(
            #[inline(always)]
            || {
                for (part, levels, log_scale) in &by_block {
                    if Some(*part) != left_out {
                        log += log_scale;
                        for (cell, level) in product.iter_mut().zip(levels) {
                            *cell *= level;
                        }
                    }
                }
            },
        );
        log + libm::log(product.iter().sum::<f64>().max(f64::MIN_POSITIVE))
    };
    let all = without(None);
    let mut fit = Fit {
        all,
        without: [all; PARTS],
    };
    for part in Part::ALL {
        if by_block.iter().any(|(own, ..)| *own == part) {
            fit.without[part as usize] = without(Some(part));
        }
    }
    fit
}

/// Where the level of a further block at the place of `next` lies after all answers there, and how
/// likely; levels that hardly can be are left out.
pub(super) fn levels_after(way: &Way, laid: &Laid, next: &Weighed) -> Vec<(f64, f64)> {
    const HARDLY: f64 = 1e-4;
    let heard = Heard::of(way);
    let at_place = |blocks: &&Vec<Block>| {
        let first = blocks.first().and_then(|block| block.answers.first());
        first.is_some_and(|first| first.ear == next.ear && first.hz == next.hz)
    };
    let blocks = laid.places.iter().find(at_place);
    let wander = Wander::of(way);
    let mut product = [1.0; POINTS];
    for block in blocks.into_iter().flatten() {
        let (levels, _) = levels_of(way, &heard, &block.answers);
        let levels = wander
            .as_ref()
            .map_or(levels, |wander| wander.wandered(&levels));
        for (cell, level) in product.iter_mut().zip(levels) {
            *cell *= level;
        }
    }
    if let Some(wander) = wander.filter(|_| blocks.is_some()) {
        product = wander.wandered(&product);
    }
    let sum: f64 = product.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let levels = product.iter().enumerate();
    levels
        .map(|(at, level)| (FIRST_DB + STEP_DB * at as f64, level / sum))
        .filter(|(_, likely)| *likely > HARDLY)
        .collect()
}

/// The likelihood of a block's answers by level, brought to at most 1, and ln of what was taken out.
fn levels_of(way: &Way, heard: &Heard, answers: &[Weighed]) -> (Levels, f64) {
    wide(
        #[inline(always)]
        || levels_inlined(way, heard, answers),
    )
}

#[inline(always)]
fn levels_inlined(way: &Way, heard: &Heard, answers: &[Weighed]) -> (Levels, f64) {
    /// A level so much less likely than the likeliest is left at that: its answers are not looked at
    /// any more.
    const NEGLIGIBLE: f64 = 1e-8;
    let mut levels = [1.0; POINTS];
    let mut log_scale = 0.0;
    let (mut from, mut to) = (0, POINTS);
    for (count, answer) in answers.iter().enumerate() {
        heard.weigh(way, answer, from, &mut levels[from..to]);
        if count % 4 == 3 || count + 1 == answers.len() {
            let looked_at = &mut levels[from..to];
            let least = if looked_at.len() < POINTS {
                NEGLIGIBLE
            } else {
                f64::MIN_POSITIVE
            };
            let top = largest(looked_at, least);
            for level in looked_at {
                *level = (*level / top).max(f64::MIN_POSITIVE);
            }
            log_scale += libm::log(top);
            // What is left here keeps its distance from the likeliest.
            while from < to && levels[from] < NEGLIGIBLE {
                levels[from] = NEGLIGIBLE;
                from += 1;
            }
            while to > from && levels[to - 1] < NEGLIGIBLE {
                levels[to - 1] = NEGLIGIBLE;
                to -= 1;
            }
        }
    }
    (levels, log_scale)
}

/// How far each level may stand elsewhere in a block, normally distributed.
struct Wander {
    /// By the distance in steps of the grid.
    bell: Vec<f64>,
    /// What of it lies within the grid, by level.
    weights: Levels,
}

impl Wander {
    /// None where a level stays where it is.
    fn of(way: &Way) -> Option<Wander> {
        let stays = matches!(way.by, By::Chance { .. } | By::Deaf);
        if stays || way.wander_db < 0.4 * STEP_DB {
            return None;
        }
        let reach = libm::ceil(3.0 * way.wander_db / STEP_DB) as usize;
        let bell = (0..=reach.min(POINTS)).map(|off| {
            let z = STEP_DB * off as f64 / way.wander_db;
            libm::exp(-0.5 * z * z)
        });
        let mut wander = Wander {
            bell: bell.collect(),
            weights: [1.0; POINTS],
        };
        wander.weights = wander.spread(&wander.weights);
        Some(wander)
    }

    fn spread(&self, levels: &Levels) -> Levels {
        wide(
            #[inline(always)]
            || {
                let mut sums = *levels;
                for sum in &mut sums {
                    *sum *= self.bell[0];
                }
                for (off, bell) in self.bell.iter().enumerate().skip(1) {
                    for (sum, level) in sums[off..].iter_mut().zip(levels) {
                        *sum += bell * level;
                    }
                    for (sum, level) in sums.iter_mut().zip(&levels[off..]) {
                        *sum += bell * level;
                    }
                }
                sums
            },
        )
    }

    fn wandered(&self, levels: &Levels) -> Levels {
        let mut out = self.spread(levels);
        for (cell, weight) in out.iter_mut().zip(&self.weights) {
            *cell /= weight;
        }
        out
    }
}

/// The logistic step of one way, tabulated.
struct Heard {
    /// As many as the table has steps; filled up, so that no number that is masked leads out of it.
    table: [f64; TABLE_ROOM],
    /// The same from its upper end down, dealt out to rows by the stride, so that what the levels of the
    /// grid want lies side by side. At both ends it goes on as far as the grid may reach beyond it.
    falling: [[f64; FALLING]; STRIDE],
}

/// How finely the table is stepped, and how far it reaches to each side, dB.
const TABLE_STEP_DB: f64 = 0.5;
const TABLE_REACH_DB: f64 = 120.0;
const TABLE: usize = 481;
const TABLE_ROOM: usize = TABLE.next_power_of_two();
/// So many steps of the table are one of the grid.
const STRIDE: usize = 5;
/// Where the table's lower end lies in `falling`.
const LOWER_END: usize = STRIDE * POINTS + TABLE - 1;
const FALLING: usize = 2 * POINTS + TABLE.div_ceil(STRIDE);

/// Where the table holds the step so far over its middle.
#[inline(always)]
fn number_of(over_db: f64) -> i32 {
    let number = (over_db + TABLE_REACH_DB) / TABLE_STEP_DB + 0.5;
    // As i32, since processors turn a float into no unsigned number at once.
    number.clamp(0.0, TABLE as f64 - 1.0) as i32
}

impl Heard {
    fn of(way: &Way) -> Heard {
        // exp(−x / scale) from one end to the other: one factor a step.
        let factor = libm::exp(-TABLE_STEP_DB / way.scale_db);
        let mut falls = libm::exp(TABLE_REACH_DB / way.scale_db);
        let mut table = [0.0; TABLE_ROOM];
        for heard in &mut table[..TABLE] {
            *heard = 1.0 / (1.0 + falls);
            falls *= factor;
        }
        let down = |at: usize| table[LOWER_END.saturating_sub(at).min(TABLE - 1)];
        let falling = std::array::from_fn(|row| std::array::from_fn(|at| down(STRIDE * at + row)));
        Heard { table, falling }
    }

    fn at(&self, over_db: f64) -> f64 {
        self.at_number(number_of(over_db))
    }

    #[inline(always)]
    fn at_number(&self, number: i32) -> f64 {
        self.table[number as usize & (TABLE_ROOM - 1)]
    }

    /// Multiplies the likelihood of an answer into the levels from number `from` on.
    #[inline(always)]
    fn weigh(&self, way: &Way, answer: &Weighed, from: usize, levels: &mut [f64]) {
        let first_db = FIRST_DB + STEP_DB * from as f64;
        let asked = way.asked(answer);
        let likelihood = |p: f64| if answer.yes { p } else { 1.0 - p };
        match asked {
            Asking::Level(p) => {
                for level in levels {
                    *level *= likelihood(p);
                }
            }
            // Nothing pulls: a step of the grid is so many of the table.
            Asking::Step(step) if step.pull == 0.0 => {
                let (floor, rise) = if answer.yes {
                    (step.floor, step.rise)
                } else {
                    (1.0 - step.floor, -step.rise)
                };
                let over_db = step.over_db(first_db);
                let first = (over_db + TABLE_REACH_DB) / TABLE_STEP_DB + 0.5;
                let down = LOWER_END.saturating_sub(first.max(0.0) as usize);
                let falling = &self.falling[down % STRIDE][down / STRIDE..];
                for (level, heard) in levels.iter_mut().zip(falling) {
                    *level *= floor + rise * heard;
                }
            }
            // Three loops: each is quick without the others.
            Asking::Step(step) => {
                let mut numbers = [0; POINTS];
                for (at, number) in numbers.iter_mut().enumerate() {
                    *number = number_of(step.over_db(first_db + STEP_DB * at as f64));
                }
                let mut heard = [0.0; POINTS];
                for (heard, number) in heard.iter_mut().zip(numbers) {
                    *heard = self.at_number(number);
                }
                for (level, heard) in levels.iter_mut().zip(heard) {
                    *level *= likelihood(step.floor + step.rise * heard);
                }
            }
            Asking::Choice { .. } => {
                for (at, level) in levels.iter_mut().enumerate() {
                    let midpoint_db = first_db + STEP_DB * at as f64;
                    *level *= likelihood(asked.p(midpoint_db, &|over_db| self.at(over_db)));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::kinds;
    use super::*;

    /// Also where the grid reaches beyond the table.
    #[test]
    fn a_row_is_the_table_read_level_by_level() {
        let way = &kinds()[0].ways[0];
        let heard = Heard::of(way);
        for level_db in [-400.0, -142.0, -95.3, 0.1, 47.2, 139.9, 161.0, 500.0] {
            let answer = Weighed {
                asked: Asked::Tone,
                part: Part::Measuring,
                ear: Ear::Right,
                hz: Hz(1000.0),
                level_db,
                company_db: 40.0,
                hundreds: 0.1,
                yes: true,
            };
            let mut levels = [1.0; POINTS];
            heard.weigh(way, &answer, 0, &mut levels);
            let Asking::Step(step) = way.asked(&answer) else {
                panic!("steady people answer by what they hear");
            };
            for (at, level) in levels.into_iter().enumerate() {
                let over_db = step.over_db(FIRST_DB + STEP_DB * at as f64);
                let expected = step.floor + step.rise * heard.at(over_db);
                assert!((level - expected).abs() < 1e-15, "{level_db} {at}");
            }
        }
    }
}
