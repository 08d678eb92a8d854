//! Which eyes are asked first, in which order and how: as the plan says, until something else is chosen on
//! Prepare.

use super::parts::choices;
use super::style::Theme;
use super::way::{self, Way};
use super::words::{Text, see as say};
use crate::journal::SightPlan;
use crate::quantity::Eye;
use eframe::egui::Ui;

/// What is chosen.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Eyes {
    /// The eyes in their order.
    pub order: Vec<Eye>,
    /// How each is asked.
    pub way: Way,
    /// What the plan says.
    of: Option<SightPlan>,
}

/// The orders that can be chosen.
const ORDERS: [(&[Eye], Text); 6] = [
    (&[Eye::Right, Eye::Left, Eye::Both], say::ORDER_RLB),
    (&[Eye::Left, Eye::Right, Eye::Both], say::ORDER_LRB),
    (&[Eye::Right, Eye::Left], say::ORDER_RL),
    (&[Eye::Left, Eye::Right], say::ORDER_LR),
    (&[Eye::Right], say::RIGHT_ALONE),
    (&[Eye::Left], say::LEFT_ALONE),
];

impl Eyes {
    /// Begins with what the plan says, whenever that is another.
    pub(super) fn follow(&mut self, plan: Option<&SightPlan>) {
        if self.of.as_ref() == plan {
            return;
        }
        *self = plan.map_or_else(Eyes::default, |plan| Eyes {
            order: plan.eyes.clone(),
            way: Way::of(plan),
            of: Some(plan.clone()),
        });
    }

    /// The plan's `[sight]` with what is chosen.
    ///
    /// # Errors
    /// One line, if it cannot be carried out.
    pub(super) fn over(&self, plan: &SightPlan) -> Result<SightPlan, String> {
        // Whose eye it is does not matter: each is asked so.
        let asking = self.way.asking(Eye::Right)?;
        asking
            .check("eyes", plan)
            .map_err(|error| error.to_string())?;
        Ok(SightPlan {
            eyes: self.order.clone(),
            also: plan.also.clone(),
            ..asking.over(plan)
        })
    }
}

/// The row of Prepare.
pub(super) fn row(ui: &mut Ui, theme: &Theme, eyes: &mut Eyes) {
    let now = eyes.order.clone();
    let mut chosen: &[Eye] = &now;
    let orders = ORDERS.map(|(order, name)| (order, name.here()));
    if choices(ui, &orders, &mut chosen) {
        eyes.order = chosen.to_vec();
    }
    way::controls(ui, theme, &mut eyes.way, None);
}
