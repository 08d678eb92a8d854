//! The way of the sound, looked at again and again while people listen: somebody may turn the volume,
//! or lead the sound elsewhere. The system is asked on a thread of its own, since it may be slow to
//! answer.

use super::{Route, leads_to_server, route_to};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::Duration;

/// Between two looks (our choice).
const EVERY: Duration = Duration::from_secs(2);

/// What the system told last of an output; clones share it. The looking ends with the last of them.
#[derive(Debug, Clone, Default)]
pub struct RouteWatch(Arc<Mutex<Option<Route>>>);

impl RouteWatch {
    /// Of the output of this id and name. Where it leads to no sound server, nothing changes by
    /// itself and nobody is asked again.
    #[must_use]
    pub fn of(id: &str, name: &str) -> RouteWatch {
        let watch = RouteWatch::default();
        if leads_to_server(id) {
            let told = Arc::downgrade(&watch.0);
            let (id, name) = (id.to_owned(), name.to_owned());
            std::thread::spawn(move || look_again_and_again(&told, &id, &name));
        } else {
            watch.tell(Route::of_names(&[id, name]));
        }
        watch
    }

    /// Takes in what the system tells now.
    pub fn tell(&self, route: Route) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some(route);
    }

    /// What it told last; none before its first answer.
    #[must_use]
    pub fn latest(&self) -> Option<Route> {
        self.0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }
}

fn look_again_and_again(told: &Weak<Mutex<Option<Route>>>, id: &str, name: &str) {
    // What it asks for nobody is not held meanwhile.
    while told.strong_count() > 0 {
        let route = route_to(id, name);
        let Some(told) = told.upgrade() else { return };
        RouteWatch(told).tell(route);
        std::thread::sleep(EVERY);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_leads_to_no_server_is_known_at_once_and_clones_share_it() {
        let watch = RouteWatch::of("alsa:hw:0,0", "front");
        let known = Route::of_names(&["alsa:hw:0,0", "front"]);
        assert_eq!(watch.latest(), Some(known));
        let muted = Route {
            muted: true,
            ..Route::default()
        };
        watch.clone().tell(muted.clone());
        assert_eq!(watch.latest(), Some(muted));
    }

    #[test]
    fn the_looking_ends_when_nobody_wants_to_know() {
        let (kept, told) = {
            let watch = RouteWatch::default();
            (watch.clone(), Arc::downgrade(&watch.0))
        };
        drop(kept);
        // It would not come back otherwise.
        look_again_and_again(&told, "alsa:default", "default");
    }
}
