//! The profile that the readings of a sheet make.

use super::unfit::mean;
use super::{CouplerSheet, Unfit};
use crate::calibration::FORMAT;
use crate::calibration::earphone::{
    Distortion, EarphoneProfile, EarphoneRecord, FullScale, ProfileKind,
};
use crate::calibration::file::FieldError;
use crate::quantity::{Db, DbSpl, Ear, Hz};
use crate::standard::iso_8253_1_2010::{combined, level_tolerance, rectangular};
use jiff::ToSpan;
use jiff::civil::Date;

/// The tables are rounded to half a decibel.
const TABLE_ROUNDED: Db = Db(0.25);

impl CouplerSheet {
    /// The standard uncertainty of the profile's levels: the meter, how the placements scatter
    /// (pooled, of their mean), the rounding of the reference table.
    #[must_use]
    pub fn u_db(&self) -> Db {
        let (mut squares, mut free) = (0.0, 0.0);
        for ear in Ear::BOTH {
            for hz in self.hz() {
                let own = self.full_scales(ear, hz);
                let Some(mean) = mean(&own) else { continue };
                squares += own
                    .iter()
                    .map(|one| (one - mean) * (one - mean))
                    .sum::<f64>();
                free += own.len() as f64 - 1.0;
            }
        }
        let scatter = if free > 0.0 {
            Db(libm::sqrt(squares / free / f64::from(self.placements)))
        } else {
            // Placed once, nobody knows: half of what may not be exceeded.
            rectangular(Db(0.5 * level_tolerance(Hz(1000.0)).0))
        };
        let u = combined(&[self.u_meter_db, scatter, rectangular(TABLE_ROUNDED)]);
        Db((u.0 * 100.0).ceil() / 100.0)
    }

    /// The profile that the readings make, valid for a year (the longest interval between
    /// acoustic checks, ISO 8253-1 stage B, from memory).
    ///
    /// # Errors
    /// The first thing that is wrong with them.
    pub fn profile(&self, made_on: Date) -> Result<EarphoneProfile, Unfit> {
        if let Some(first) = self.unfit().into_iter().next() {
            return Err(first);
        }
        let rounded = |db: f64| DbSpl((db * 100.0).round() / 100.0);
        let full_scale: Vec<FullScale> = self
            .hz()
            .filter_map(|hz| {
                Some(FullScale {
                    hz,
                    right_db_spl: rounded(mean(&self.full_scales(Ear::Right, hz))?),
                    left_db_spl: rounded(mean(&self.full_scales(Ear::Left, hz))?),
                })
            })
            .collect();
        let expires_on = made_on
            .checked_add(1.year())
            .map_err(|_| FieldError::new("made_on", "expected a day before the year 9999"))?;
        let times = if self.placements == 1 { "once" } else { "anew" };
        let record = EarphoneRecord {
            format: FORMAT,
            kind: ProfileKind::Measured,
            title: self.title.clone(),
            class: Some(self.class),
            method: format!(
                "{}, tones at {} dB re full scale, placed {times} ({}); read by {}",
                self.coupler.title(),
                self.level_db_fs.0,
                self.placements,
                self.meter
            )
            .chars()
            .take(180)
            .collect(),
            made_by: Some(self.made_by.clone()),
            made_on: Some(made_on),
            expires_on: Some(expires_on),
            u_db: Some(self.u_db()),
            output: Some(self.output.clone()),
            full_scale,
            coupler: Some(self.coupler),
            distortion: self.distortion(),
            reference: Vec::new(),
            zero: Vec::new(),
            jury: None,
            words: Vec::new(),
        };
        Ok(EarphoneProfile::try_from(record)?)
    }

    /// The largest distortion of each frequency that was measured at both earphones.
    fn distortion(&self) -> Vec<Distortion> {
        let largest = |ear: Ear, hz: Hz| {
            let here = self
                .readings
                .iter()
                .filter(|one| one.ear == ear && one.hz == hz);
            here.filter_map(|one| one.distortion_percent)
                .max_by(f64::total_cmp)
        };
        self.hz()
            .filter_map(|hz| {
                Some(Distortion {
                    hz,
                    right_percent: largest(Ear::Right, hz)?,
                    left_percent: largest(Ear::Left, hz)?,
                })
            })
            .collect()
    }
}
