//! The way of the sound while a visit is under way: somebody may turn the system's volume, or lead the
//! sound elsewhere. Then the visit pauses until the way is again what it began with.

use super::Session;
use crate::desk::words;
use crate::quantity::Moment;
use crate::station::route::{Route, RouteWatch};

/// The way that a visit began with, and what is told of it now.
pub(super) struct Way {
    began_with: Route,
    watch: RouteWatch,
    /// The change that the examiner has been told of.
    told: Option<String>,
}

impl Session {
    /// Lets the way of the sound be watched; as it is now it has to stay.
    pub fn watch_way(&mut self, watch: RouteWatch) {
        self.way = watch.latest().map(|began_with| Way {
            began_with,
            watch,
            told: None,
        });
    }

    /// How the way is another than at the beginning, if it is.
    pub(super) fn way_changed(&self) -> Option<String> {
        let way = self.way.as_ref()?;
        way.watch.latest()?.changed_since(&way.began_with)
    }

    /// Pauses where the way has changed.
    pub(super) fn look_at_way(&mut self, at: Moment) {
        let changed = self.way_changed();
        let Some(way) = &mut self.way else { return };
        if way.told == changed {
            return;
        }
        way.told.clone_from(&changed);
        let Some(changed) = changed.map(|how| words::way_changed(&how)) else {
            return;
        };
        let record = self.record();
        if record.paused() {
            self.pause_reason = changed;
        } else if !record.closed() {
            self.pause(&changed, at);
        }
    }
}
