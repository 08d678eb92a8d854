//! Couplers and ear simulators: an earphone's reference table holds on one of them only.

use super::EarphoneClass;
use serde::{Deserialize, Serialize};

/// A coupler. Numbers of the standards for inserts and of the flat plate adapter are from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
pub enum Coupler {
    /// Acoustic coupler of 6 cm³.
    #[serde(rename = "acoustic_coupler_iec_60318_3")]
    AcousticCoupler,
    /// Ear simulator.
    #[serde(rename = "ear_simulator_iec_60318_1")]
    EarSimulator,
    /// Ear simulator with the flat plate adapter.
    #[serde(rename = "ear_simulator_flat_plate_iec_60318_1")]
    EarSimulatorFlatPlate,
    /// 2 cm³ coupler through a rigid tube (HA-2).
    #[serde(rename = "two_cc_ha_2_iec_60318_5")]
    TwoCcHa2,
    /// 2 cm³ coupler HA-1.
    #[serde(rename = "two_cc_ha_1_iec_60318_5")]
    TwoCcHa1,
    /// Occluded-ear simulator.
    #[serde(rename = "occluded_ear_simulator_iec_60318_4")]
    OccludedEar,
}

impl Coupler {
    /// Every coupler.
    pub const ALL: [Coupler; 6] = [
        Coupler::AcousticCoupler,
        Coupler::EarSimulator,
        Coupler::EarSimulatorFlatPlate,
        Coupler::TwoCcHa2,
        Coupler::TwoCcHa1,
        Coupler::OccludedEar,
    ];

    /// What people call it, with its standard.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Coupler::AcousticCoupler => "acoustic coupler, IEC 60318-3",
            Coupler::EarSimulator => "ear simulator, IEC 60318-1",
            Coupler::EarSimulatorFlatPlate => "ear simulator with flat plate adapter, IEC 60318-1",
            Coupler::TwoCcHa2 => "2 cm³ coupler with rigid tube (HA-2), IEC 60318-5",
            Coupler::TwoCcHa1 => "2 cm³ coupler HA-1, IEC 60318-5",
            Coupler::OccludedEar => "occluded-ear simulator, IEC 60318-4",
        }
    }

    /// The classes whose reference table was made for it.
    pub fn classes(self) -> impl Iterator<Item = EarphoneClass> {
        EarphoneClass::ALL
            .into_iter()
            .filter(move |class| class.coupler() == self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 389-1:1998 keeps the acoustic coupler for its two named types (a national laboratory's
    /// report of 2004); every other supra-aural earphone goes on the ear simulator.
    #[test]
    fn every_class_has_one_coupler_and_every_coupler_a_class() {
        use EarphoneClass as Class;
        for coupler in Coupler::ALL {
            assert!(coupler.classes().count() >= 1, "{coupler:?}");
        }
        let named: Vec<Class> = Coupler::AcousticCoupler.classes().collect();
        assert_eq!(
            named,
            [Class::SupraAuralDomedCushion, Class::SupraAuralFlatCushion]
        );
        assert_eq!(Class::SupraAural.coupler(), Coupler::EarSimulator);
        assert_eq!(Class::Circumaural.coupler(), Coupler::EarSimulatorFlatPlate);
        let together: usize = Coupler::ALL
            .into_iter()
            .map(|one| one.classes().count())
            .sum();
        assert_eq!(together, Class::ALL.len());
    }
}
