//! A way with a stream along it that changes in steps. Not for: where the stream comes from.

/// A stretch of time with one stream.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// It ends then \[s from now\]; the last has no end.
    pub until_s: f64,
    /// Stream along her way, with her positive \[m/s\].
    pub along_m_s: f64,
    /// Stream across it, which she has to stem by pointing off it \[m/s\].
    pub across_m_s: f64,
}

/// A way.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Over the ground \[m\].
    pub distance_m: f64,
    /// Streams in their order; after the last of them it goes on as that.
    pub stages: Vec<Stage>,
}

impl Way {
    /// What she makes along it at an instant, backwards where the stream sets her back \[m/s\].
    fn over_ground_m_s(&self, at_s: f64, speed_m_s: f64) -> f64 {
        let stage = self.stages.iter().find(|stage| at_s < stage.until_s).or(self.stages.last());
        let ahead = |across_m_s: f64| (speed_m_s * speed_m_s - across_m_s * across_m_s).max(0.0).sqrt();
        stage.map_or(speed_m_s, |stage| ahead(stage.across_m_s) + stage.along_m_s)
    }

    /// When the stream changes next after an instant \[s\].
    fn changes_s(&self, at_s: f64) -> f64 {
        self.stages.iter().map(|stage| stage.until_s).find(|until| *until > at_s).unwrap_or(f64::INFINITY)
    }

    /// How long she takes from `leaves_s` at a speed through the water \[s\]; none where the stream holds her for ever.
    /// A stream faster than she is sets her back as long as it lasts.
    ///
    /// `sum of dt (sqrt(v^2 - a^2) + c) = D` with c the stream along and a across.
    /// # Source
    /// Kinematics.
    /// # Valid for
    /// Streams along her way, steady within a stage.
    /// # Accuracy
    /// Exact.
    /// # Errors
    /// None.
    /// # Example
    /// 4 m/s against 2 for 100 s, then slack: 400 m take 100 s for 200 m and 50 s for the rest:
    /// ```
    /// use wakewright_core::passage::{Stage, Way};
    /// let stages = vec![Stage { until_s: 100.0, along_m_s: -2.0, across_m_s: 0.0 }, Stage { until_s: f64::INFINITY, along_m_s: 0.0, across_m_s: 0.0 }];
    /// let way = Way { distance_m: 400.0, stages };
    /// assert!((way.takes_s(0.0, 4.0).unwrap() - 150.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn takes_s(&self, leaves_s: f64, speed_m_s: f64) -> Option<f64> {
        let (mut at_s, mut left_m) = (leaves_s, self.distance_m);
        loop {
            let over_ground = self.over_ground_m_s(at_s, speed_m_s);
            let until_s = self.changes_s(at_s);
            let there_s = at_s + left_m / over_ground;
            if over_ground > 0.0 && there_s <= until_s {
                return Some(there_s - leaves_s);
            }
            if until_s.is_infinite() {
                return None;
            }
            left_m -= over_ground * (until_s - at_s);
            at_s = until_s;
        }
    }

    /// How far she is along it at an instant \[m\].
    #[must_use]
    pub fn covered_m(&self, leaves_s: f64, speed_m_s: f64, at_s: f64) -> f64 {
        let (mut from_s, mut covered_m) = (leaves_s, 0.0);
        while from_s < at_s {
            let until_s = self.changes_s(from_s).min(at_s);
            covered_m += self.over_ground_m_s(from_s, speed_m_s) * (until_s - from_s);
            from_s = until_s;
        }
        covered_m
    }

    /// The way back over a distance, against the same streams.
    #[must_use]
    pub fn back(&self, distance_m: f64) -> Self {
        let turned = |stage: &Stage| Stage { along_m_s: -stage.along_m_s, ..*stage };
        Self { distance_m, stages: self.stages.iter().map(turned).collect() }
    }

    /// Until when a speed does not stem the stream that she leaves into \[s\]; none where it does at once.
    #[must_use]
    pub fn not_stemmed_until_s(&self, leaves_s: f64, speed_m_s: f64) -> Option<f64> {
        let mut at_s = leaves_s;
        while self.over_ground_m_s(at_s, speed_m_s) <= 0.0 {
            at_s = self.changes_s(at_s);
            if at_s.is_infinite() {
                return Some(at_s);
            }
        }
        (at_s > leaves_s).then_some(at_s)
    }
}
