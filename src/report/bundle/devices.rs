//! What was measured with: the program, the earphones and the screen; and what ties each output to
//! physical units.

use super::ids::{bytes_of_hex, named_by_digest};
use super::parts::{component_of_device, quantity, text};
use super::{Bundle, local, put, reference};
use crate::calibration::{EarphoneProfile, ProfileKind, ScreenKind, ScreenProfile};
use crate::quantity::Ear;
use crate::standard::{Coupler, EarphoneClass, ucum};
use jiff::civil::Date;
use serde_json::{Value, json};

impl Bundle<'_> {
    pub(super) fn software(&mut self) -> String {
        let program = self.dossier.findings.program.as_str();
        let (name, version) = program.split_once(' ').unwrap_or((program, "unknown"));
        let device = json!({
            "resourceType": "Device",
            "deviceName": [{"name": name, "type": "user-friendly-name"}],
            "type": local::concept("software"),
            "version": [
                {"type": text("program"), "value": version},
                {"type": text("mathematics"), "value": self.dossier.findings.mathematics.to_string()},
            ],
            "note": [text(self.dossier.findings.caution.clone())],
        });
        self.add("software", device)
    }

    /// Earphones and screen, and a metric for each earphone.
    pub(super) fn devices(&mut self) {
        let opening = &self.dossier.record.opening;
        if let Some(earphone) = &opening.set_up.earphone {
            let device = self.add(
                "earphones",
                earphones(earphone, opening.earphone_digest.as_deref()),
            );
            for ear in Ear::BOTH {
                self.add(&metric_key(ear), metric(earphone, ear, &device));
            }
        }
        if let Some(screen) = &opening.set_up.screen {
            self.add(
                "screen",
                screen_device(screen, opening.screen_digest.as_deref()),
            );
        }
    }

    /// The calibrated output of an ear.
    pub(super) fn output(&self, ear: Ear) -> Option<Value> {
        let earphone = self.dossier.record.opening.set_up.earphone.is_some();
        earphone.then(|| reference(&self.url(&metric_key(ear))))
    }

    pub(super) fn screen(&self) -> Option<Value> {
        let screen = self.dossier.record.opening.set_up.screen.is_some();
        screen.then(|| reference(&self.url("screen")))
    }
}

fn metric_key(ear: Ear) -> String {
    format!("output-{ear}")
}

/// The profile's digest as what tells this calibration from others.
fn identifier(digest: Option<&str>) -> Option<Value> {
    let bytes = bytes_of_hex(digest?)?;
    let value = named_by_digest(&bytes);
    Some(json!([{"system": "urn:ietf:rfc:3986", "value": value,
        "type": {"text": "SHA-256 of the profile"}}]))
}

fn earphones(profile: &EarphoneProfile, digest: Option<&str>) -> Value {
    let record = profile.record();
    let kind = record
        .class
        .map_or("earphones, class not known".to_owned(), |class| {
            format!(
                "earphones, {}, {}",
                EarphoneClass::title(class),
                class.standard()
            )
        });
    let mut device = json!({
        "resourceType": "Device",
        "deviceName": [{"name": record.title, "type": "user-friendly-name"}],
        "type": local::in_words("earphones", &kind),
    });
    put(&mut device, "identifier", identifier(digest));
    let mut notes = vec![
        format!("Profile: {}.", record.method),
        format!("Levels are in {}.", profile.scale().unit()),
    ];
    notes.extend(record.made_by.iter().map(|who| format!("Made by {who}.")));
    notes.extend(record.made_on.map(|on| format!("Made on {on}.")));
    notes.extend(record.expires_on.map(|on| format!("Valid until {on}.")));
    notes.extend(
        record
            .coupler
            .map(|one| format!("Measured on: {}.", Coupler::title(one))),
    );
    device["note"] = notes.into_iter().map(text).collect();
    let uncertainty = record.u_db.map(|u| {
        json!([component_of_device(
            "Standard uncertainty of the levels",
            &quantity(u.0, ucum::DECIBEL)
        )])
    });
    put(&mut device, "property", uncertainty);
    device
}

fn metric(profile: &EarphoneProfile, ear: Ear, device: &str) -> Value {
    let record = profile.record();
    // A simulated profile is no calibration of anything, and of an unmeasured output nothing is
    // known.
    let state = match profile.kind() {
        ProfileKind::Measured | ProfileKind::ListeningJury | ProfileKind::ExaminersEars => {
            "calibrated"
        }
        ProfileKind::Uncalibrated => "not-calibrated",
        ProfileKind::Simulated | ProfileKind::SimulatedCapped => "unspecified",
    };
    let mut calibration = json!({"type": "offset", "state": state});
    put(&mut calibration, "time", record.made_on.map(midnight));
    json!({
        "resourceType": "DeviceMetric",
        "type": local::concept(&metric_key(ear)),
        "unit": {
            "coding": [{"system": ucum::SYSTEM, "code": ucum::DECIBEL.code}],
            "text": profile.scale().unit(),
        },
        "source": reference(device),
        "operationalStatus": "on",
        "category": "setting",
        "calibration": [calibration],
    })
}

/// A day is all that is known; the format wants an instant.
fn midnight(day: Date) -> Value {
    json!(format!("{day}T00:00:00Z"))
}

fn screen_device(profile: &ScreenProfile, digest: Option<&str>) -> Value {
    let record = profile.record();
    let simulated = record.kind == ScreenKind::Simulated;
    let kind = if simulated {
        "screen, simulated"
    } else {
        "screen, measured"
    };
    let mut device = json!({
        "resourceType": "Device",
        "deviceName": [{"name": record.title, "type": "user-friendly-name"}],
        "type": local::in_words("screen", kind),
    });
    put(&mut device, "identifier", identifier(digest));
    let mut properties = vec![component_of_device(
        "Pixel pitch",
        &quantity(record.pixel_mm.0, ucum::MILLIMETRE),
    )];
    properties.push(component_of_device(
        "Standard uncertainty of the pitch",
        &quantity(100.0 * record.u_rel, ucum::PERCENT),
    ));
    device["property"] = json!(properties);
    let mut notes = vec![format!("Profile: {}.", record.method)];
    notes.extend(record.made_on.map(|on| format!("Made on {on}.")));
    notes.extend(
        record
            .white_cd_m2
            .map(|white| format!("White: {white} cd/m2.")),
    );
    device["note"] = notes.into_iter().map(text).collect();
    device
}
