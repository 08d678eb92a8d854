//! How an eye is asked, as it is chosen: on Prepare for what the plan asks first, on See for one way more.

use super::length;
use super::parts::{choices, field, heading, remark};
use super::planner;
use super::style::{self, Theme};
use super::words::{decimals, see as say};
use crate::journal::{
    Asking, LetterDifficulty, RowsEnd, RowsPlan, RowsShow, SightPlan, SightProcedure,
};
use crate::quantity::{Correction, Eye, Mm};
use crate::stimulus::{NEAR_MM, OptotypeSet};
use eframe::egui::Ui;

/// What is chosen. Numbers are as they are typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// How it is asked.
    pub procedure: SightProcedure,
    /// The optotypes.
    pub optotype: OptotypeSet,
    /// With a bar on each side.
    pub crowded: bool,
    /// White on black.
    pub reverse: bool,
    /// For how long an optotype is shown, s; empty: until it is answered.
    pub shown_s: String,
    /// The standard deviation at which single optotypes end, logMAR.
    pub stop_sd: String,
    /// How rows are read.
    pub rows: RowsPlan,
    /// What is made of letters that are not equally easy.
    pub letters: LetterDifficulty,
    /// What correction is worn.
    pub correction: Correction,
    /// Whether the eye looks through a pinhole.
    pub pinhole: bool,
    /// The distance; empty: the set-up's.
    pub distance: String,
    /// The size of a screening, logMAR.
    pub size: String,
    /// The number of the near card.
    pub card: String,
}

impl Default for Way {
    fn default() -> Way {
        Way {
            procedure: SightProcedure::Adaptive,
            optotype: OptotypeSet::Sloan,
            crowded: false,
            reverse: false,
            shown_s: String::new(),
            stop_sd: "0.05".into(),
            rows: RowsPlan::USUAL,
            letters: LetterDifficulty::Alike,
            correction: Correction::AsWorn,
            pinhole: false,
            distance: String::new(),
            size: "0.3".into(),
            card: String::new(),
        }
    }
}

impl Way {
    /// As a plan asks: only what was asked alike is held against each other, so that whoever
    /// changes one thing, such as a pinhole, leaves the others.
    #[must_use]
    pub fn of(plan: &SightPlan) -> Way {
        let reads_card = plan.procedure == SightProcedure::NearCard;
        Way {
            procedure: plan.procedure,
            optotype: plan.optotype,
            crowded: plan.crowded,
            reverse: plan.reverse,
            shown_s: plan
                .shown_s
                .map_or_else(String::new, |shown_s| shown_s.to_string()),
            stop_sd: plan.stop_sd_log_mar.to_string(),
            rows: plan.rows,
            letters: plan.letter_difficulty,
            correction: plan.correction,
            pinhole: plan.pinhole,
            distance: String::new(),
            size: plan.screening.log_mar.to_string(),
            card: if reads_card {
                plan.card.seed.to_string()
            } else {
                String::new()
            },
        }
    }

    /// The asking of `eye` that is chosen. What does not belong to the procedure is left out.
    ///
    /// # Errors
    /// One line, if something typed cannot be read.
    pub fn asking(&self, eye: Eye) -> Result<Asking, String> {
        let number = |text: &str| text.trim().replace(',', ".").parse::<f64>().ok();
        let screens = self.procedure == SightProcedure::Screening;
        let shown_s = match self.shown_s.trim() {
            "" => Some(0.0),
            typed => number(typed).filter(|shown_s| *shown_s >= 0.5),
        };
        let shown_s = shown_s.ok_or("Shown for: expected 0.5 s or more, or nothing")?;
        let distance_mm = if self.distance.trim().is_empty() || !self.on_the_screen() {
            None
        } else {
            let read = length::distance(&self.distance);
            Some(read.ok_or("Distance: expected 0.1 to 20 m, such as 2 m")?)
        };
        let size = number(&self.size).ok_or("Size: expected logMAR, such as 0.3");
        let stop_sd = number(&self.stop_sd).filter(|sd| (0.0..=1.0).contains(sd));
        let stop_sd = stop_sd.ok_or("Ends at: expected a standard deviation, such as 0.05");
        let card = self.card.trim().parse::<u64>();
        let card = card.map_err(|_| "Near card: expected the number that is printed on it");
        Ok(Asking {
            procedure: Some(self.procedure),
            optotype: Some(self.optotype),
            crowded: Some(self.crowded),
            reverse: Some(self.reverse),
            correction: Some(self.correction),
            pinhole: Some(self.pinhole),
            distance_mm,
            shown_s: Some(shown_s),
            stop_sd_log_mar: if self.by_single_ones() {
                Some(stop_sd?)
            } else {
                None
            },
            rows: self.in_rows().then_some(self.rows),
            letter_difficulty: Some(if self.optotype == OptotypeSet::Sloan {
                self.letters
            } else {
                LetterDifficulty::Alike
            }),
            screening_log_mar: if screens { Some(size?) } else { None },
            card: if self.reads_card() { Some(card?) } else { None },
            ..Asking::of(eye)
        })
    }

    fn by_single_ones(&self) -> bool {
        self.procedure == SightProcedure::Adaptive
    }

    fn reads_card(&self) -> bool {
        self.procedure == SightProcedure::NearCard
    }

    fn in_rows(&self) -> bool {
        self.reads_card() || self.procedure == SightProcedure::Rows
    }

    fn on_the_screen(&self) -> bool {
        !self.reads_card() && self.procedure != SightProcedure::ByHand
    }
}

/// The controls of a way. `here` is the set-up's distance, if another may be chosen.
pub(super) fn controls(ui: &mut Ui, theme: &Theme, way: &mut Way, here: Option<Mm>) {
    let procedures = [
        (SightProcedure::Adaptive, &*say::SINGLE),
        (SightProcedure::Rows, &*say::ROWS),
        (SightProcedure::Screening, &*say::ONE_SIZE),
        (SightProcedure::NearCard, &*say::NEAR_CARD),
        (SightProcedure::ByHand, &*say::BY_HAND),
    ];
    if choices(ui, &procedures, &mut way.procedure) && way.procedure == SightProcedure::Rows {
        way.optotype = OptotypeSet::Sloan;
    }
    if way.procedure != SightProcedure::ByHand {
        let sets = [
            (OptotypeSet::Sloan, &*say::TEN_LETTERS),
            (OptotypeSet::Landolt8, &*say::RINGS_8),
            (OptotypeSet::Landolt4, &*say::RINGS_4),
            (OptotypeSet::TumblingE, "E"),
            (OptotypeSet::Hotv, "HOTV"),
        ];
        choices(ui, &sets, &mut way.optotype);
    }
    let corrections = [
        (Correction::AsWorn, &*say::AS_WORN),
        (Correction::Without, &*say::WITHOUT),
        (Correction::Own, &*say::OWN_FAR),
        (Correction::OwnNear, &*say::OWN_NEAR),
        (Correction::Best, &*say::BEST),
    ];
    heading(ui, theme, &say::WORN);
    choices(ui, &corrections, &mut way.correction);
    ui.horizontal_wrapped(|ui| {
        ui.checkbox(&mut way.pinhole, say::PINHOLE);
        if way.on_the_screen() {
            ui.checkbox(&mut way.crowded, say::CROWDED);
            ui.checkbox(&mut way.reverse, say::REVERSE);
        }
    });
    if way.in_rows() {
        rows(ui, theme, way);
    }
    if way.optotype == OptotypeSet::Sloan && way.procedure != SightProcedure::ByHand {
        let letters = [
            (LetterDifficulty::Alike, &*say::LETTERS_ALIKE),
            (LetterDifficulty::Corrected, &*say::LETTERS_BY_DIFFICULTY),
        ];
        choices(ui, &letters, &mut way.letters);
    }
    numbers(ui, theme, way, here);
}

/// How much of the rows is shown, and what ends them.
fn rows(ui: &mut Ui, theme: &Theme, way: &mut Way) {
    if way.on_the_screen() {
        heading(ui, theme, &say::AT_A_TIME);
        let shows = [
            (RowsShow::Letter, &*say::A_LETTER),
            (RowsShow::Row, &*say::A_ROW),
            (RowsShow::All, &*say::ALL_THAT_FIT),
        ];
        choices(ui, &shows, &mut way.rows.shows);
    }
    heading(ui, theme, &say::ROWS_END);
    let ends = [
        (RowsEnd::ThreeWrong, &*say::THREE_WRONG),
        (RowsEnd::FourWrong, &*say::FOUR_WRONG),
        (RowsEnd::AllWrong, &*say::ALL_WRONG),
    ];
    choices(ui, &ends, &mut way.rows.ends);
}

/// What is typed, and what the distance asks of the eye.
fn numbers(ui: &mut Ui, theme: &Theme, way: &mut Way, here: Option<Mm>) {
    let mut typed = |name: &str, hint: &str, text: &mut String| {
        heading(ui, theme, name);
        field(ui, name, hint, 200.0, text);
    };
    if way.reads_card() {
        typed(&say::CARD_NUMBER, &say::CARD_NUMBER_HINT, &mut way.card);
    }
    if way.by_single_ones() {
        typed(&say::STOP_SD, "0.05", &mut way.stop_sd);
    }
    if way.procedure == SightProcedure::Screening {
        typed(&say::SIZE, "0.3", &mut way.size);
    }
    if way.on_the_screen() {
        typed(&say::SHOWN_FOR, &say::UNTIL_ANSWERED, &mut way.shown_s);
    }
    if let Some(here) = here.filter(|_| way.on_the_screen()) {
        let hint = say::AS_NOW.fill(&[&decimals(here.0 / 1000.0, 2)]);
        typed(&say::ASKING_DISTANCE, &hint, &mut way.distance);
    }
    let distance = match way.procedure {
        SightProcedure::NearCard => Some(NEAR_MM),
        SightProcedure::ByHand => None,
        _ => length::distance(&way.distance),
    };
    if let Some(text) = distance.and_then(planner::correction) {
        remark(ui, theme, &text);
        ui.add_space(style::STEP);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Plan;

    fn plan(sight: &str) -> SightPlan {
        let text = format!("format = 1\nname = \"a\"\n[sight]\n{sight}\n");
        Plan::from_toml(&text, "a plan").unwrap().sight.unwrap()
    }

    /// Whoever changes nothing asks as the plan does.
    #[test]
    fn a_way_that_was_not_touched_is_the_plans() {
        for sight in [
            "",
            "optotype = \"sloan\"\nletter_difficulty = \"corrected\"\ncorrection = \"best\"",
            "optotype = \"landolt_4\"\nreverse = true\nshown_s = 0.75\nstop_sd_log_mar = 0.03",
            "optotype = \"sloan\"\nprocedure = \"rows\"\n[sight.rows]\nshows = \"all\"\nends = \"all_wrong\"",
            "procedure = \"screening\"\npinhole = true\n[sight.screening]\nlog_mar = 0.5",
            "procedure = \"near_card\"\noptotype = \"sloan\"\ncorrection = \"own_near\"\n[sight.card]\nseed = 12",
            "procedure = \"by_hand\"",
        ] {
            let plan = plan(sight);
            let asking = Way::of(&plan).asking(Eye::Left).unwrap();
            assert_eq!(asking.over(&plan), plan, "{sight}");
            asking.check("asking", &plan).unwrap();
        }
    }

    #[test]
    fn what_cannot_be_read_is_told_in_one_line() {
        let wrong = [
            Way {
                shown_s: "0.2".into(),
                ..Way::default()
            },
            Way {
                distance: "far".into(),
                ..Way::default()
            },
            Way {
                stop_sd: "soon".into(),
                ..Way::default()
            },
            Way {
                procedure: SightProcedure::NearCard,
                ..Way::default()
            },
            Way {
                procedure: SightProcedure::Screening,
                size: String::new(),
                ..Way::default()
            },
        ];
        for way in wrong {
            let told = way.asking(Eye::Right).unwrap_err();
            assert!(
                told.contains("expected") && told.lines().count() == 1,
                "{told}"
            );
        }
    }
}
