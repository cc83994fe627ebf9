//! Pitch as it was measured, held against the classes of ISO 484-2. Not for: what the pitch does to her (`steady`).

use crate::propeller::standards::{AccuracyClass, ClassTolerances};

/// Pitch measured at the same radii of each blade.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredPitch {
    /// A row for each blade, hub to tip \[m\].
    pub blades_m: Vec<Vec<f64>>,
    /// The pitch that it should have \[m\].
    pub nominal_m: f64,
}

/// A mean pitch and how far it is off.
#[derive(Debug, Clone, PartialEq)]
pub struct Mean {
    /// Of what: "blade 2".
    pub of: String,
    /// The mean \[m\].
    pub pitch_m: f64,
    /// Off the nominal one, as a share.
    pub off: f64,
    /// The finest class that it keeps; `None` when it keeps none.
    pub class: Option<AccuracyClass>,
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

impl MeasuredPitch {
    /// Mean of the propeller \[m\].
    #[must_use]
    pub fn mean_m(&self) -> f64 {
        mean(&self.blades_m.iter().map(|blade| mean(blade)).collect::<Vec<_>>())
    }

    fn held(&self, of: String, pitch_m: f64, percent: fn(ClassTolerances) -> f64) -> Mean {
        let off = pitch_m / self.nominal_m - 1.0;
        // What is on the line keeps it: measured figures end on round digits.
        let keeps = |class: &AccuracyClass| 100.0 * off.abs() <= percent(class.tolerances()) + 1e-9;
        Mean { of, pitch_m, off, class: AccuracyClass::ALL.into_iter().find(keeps) }
    }

    /// Each blade's mean, then the propeller's, against the nominal pitch.
    ///
    /// # Source
    /// \[iso484\] tolerances of the mean pitch of a blade and of the propeller.
    /// # Example
    /// By hand: two blades of 300 and 306 mm where 300 are told; the second is 2 % off (class III), the propeller 1 % (class II).
    /// ```
    /// # use wakewright_core::propeller::standards::AccuracyClass;
    /// # use wakewright_core::shaft::MeasuredPitch;
    /// let pitch = MeasuredPitch { blades_m: vec![vec![0.300], vec![0.306]], nominal_m: 0.300 };
    /// let means = pitch.means();
    /// assert_eq!(means[1].class, Some(AccuracyClass::III));
    /// assert_eq!(means[2].class, Some(AccuracyClass::II));
    /// ```
    #[must_use]
    pub fn means(&self) -> Vec<Mean> {
        let blades = self.blades_m.iter().enumerate();
        let mut means: Vec<Mean> = blades
            .map(|(at, blade)| {
                self.held(format!("blade {}", at + 1), mean(blade), |class| class.blade_pitch_percent)
            })
            .collect();
        means.push(self.held("propeller".to_owned(), self.mean_m(), |class| class.propeller_pitch_percent));
        means
    }

    /// The finest class that all of it keeps: each radius of each blade, each blade, the propeller.
    ///
    /// # Source
    /// \[iso484\].
    /// # Example
    /// By hand: two blades of 300 and 306 mm where 300 are told: the second is 2 % off, which class III allows.
    /// ```
    /// # use wakewright_core::propeller::standards::AccuracyClass;
    /// # use wakewright_core::shaft::MeasuredPitch;
    /// let pitch = MeasuredPitch { blades_m: vec![vec![0.300], vec![0.306]], nominal_m: 0.300 };
    /// assert_eq!(pitch.class(), Some(AccuracyClass::III));
    /// ```
    #[must_use]
    pub fn class(&self) -> Option<AccuracyClass> {
        let radii = self.blades_m.iter().flatten();
        let mut worst = Some(AccuracyClass::S);
        let of_radii =
            radii.map(|pitch| self.held(String::new(), *pitch, |class| class.radius_pitch_percent));
        for one in of_radii.chain(self.means()) {
            let place = |class: Option<AccuracyClass>| {
                class.map_or(usize::MAX, |c| AccuracyClass::ALL.iter().position(|one| *one == c).unwrap_or(0))
            };
            if place(one.class) > place(worst) {
                worst = one.class;
            }
        }
        worst
    }

    /// From the lowest to the highest mean of a blade, as a share of the propeller's.
    #[must_use]
    pub fn between_blades(&self) -> f64 {
        let means = self.blades_m.iter().map(|blade| mean(blade));
        let (low, high) = means.fold((f64::INFINITY, 0.0_f64), |(low, high), m| (low.min(m), high.max(m)));
        (high - low) / self.mean_m()
    }
}
