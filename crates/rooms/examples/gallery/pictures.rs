//! The pictures of the gallery. Every number and every boat here is invented.

use wakewright_picture::{
    Aperture, Arrangement, Axis, AxisSide, Band, Candidate, Dash, DimensionTexts, Fitted, IntervalRow,
    Intervals, Keel, Label, LabelPlace, Ladder, Lane, LaneMarks, Line, MarkedPoint, Picture, Plot, Profile,
    Reference, ReferenceAt, Region, RegionFill, Rudder, Scatter, Step, StepKind, Strip, Tone, Weight,
};

/// Name and picture of everything in the gallery.
pub fn all() -> Vec<(&'static str, Box<dyn Picture>)> {
    vec![
        ("torque", Box::new(torque())),
        ("range", Box::new(range())),
        ("ladder", Box::new(ladder())),
        ("ketch", Box::new(ketch())),
        ("finkeel", Box::new(fin_keeler())),
        ("twin", Box::new(twin_keeler())),
        ("launch", Box::new(launch())),
        ("day", Box::new(day())),
        ("causes", Box::new(causes())),
        ("candidates", Box::new(candidates())),
    ]
}

fn curve(from: u32, to: u32, step: usize, f: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
    (from..=to).step_by(step).map(|i| (f64::from(i), f(f64::from(i)))).collect()
}

fn torque() -> Plot {
    let limit = 128.0;
    let volts = |n: f64| (1240.0 - n) * 0.42;
    let corner = 1240.0 - limit / 0.42;
    let asked = |n: f64| 3.06e-4 * n * n;
    let clean = |n: f64| 2.83e-4 * n * n;
    let finer = |n: f64| 2.37e-4 * n * n;
    let top = 180.0;
    let (work, work_other) = (646.8, 734.9);
    Plot {
        title: "Shaft torque against shaft speed".into(),
        description:
            "The region that the drive can reach is bounded by phase current and by the bank’s volts; \
                      the propeller's demand meets the phase current at 647 rpm."
                .into(),
        x: Axis::new("shaft speed", "rpm", 0).over(0.0, 1400.0),
        y: Axis::new("shaft torque", "N m", 0).over(0.0, top),
        regions: vec![Region {
            label: "out of the drive’s reach".into(),
            outline: vec![
                (0.0, top),
                (0.0, limit),
                (corner, limit),
                (1240.0, 0.0),
                (1400.0, 0.0),
                (1400.0, top),
            ],
            fill: RegionFill::Hatched,
        }],
        bands: vec![Band {
            label: Label::new("80 % band of what she asks", "80 % band"),
            points: (100..=800)
                .step_by(20)
                .map(|i| (f64::from(i), 0.84 * asked(f64::from(i)), 1.17 * asked(f64::from(i))))
                .collect(),
            axis: AxisSide::Left,
        }],
        lines: vec![
            Line {
                label: Label::new("phase current, 250 A", "250 A phase"),
                points: vec![(0.0, limit), (corner, limit)],
                weight: Weight::Heavy,
                tone: Tone::Binds,
                place: LabelPlace::Along,
                has_readout: true,
                ..Line::default()
            },
            Line {
                label: Label::new("bank volts: 79.7 at rest, 77.7 here", "bank volts"),
                points: curve(936, 1240, 304, volts),
                weight: Weight::Medium,
                place: LabelPlace::Along,
                has_readout: true,
                ..Line::default()
            },
            Line {
                label: Label::new("all day, before the winding is too hot", "all day"),
                points: vec![(0.0, 91.0), (1240.0 - 91.0 / 0.42, 91.0)],
                weight: Weight::Thin,
                dash: Dash::Dashed,
                place: LabelPlace::Along,
                ..Line::default()
            },
            Line {
                label: Label::new("as she is: 22 × 15 in, slime", "as she is"),
                points: curve(100, 860, 20, asked),
                weight: Weight::Heavy,
                has_readout: true,
                ..Line::default()
            },
            Line {
                label: Label::new("22 × 15 in, hull clean", "hull clean"),
                points: curve(100, 860, 20, clean),
                tone: Tone::Muted,
                has_readout: true,
                ..Line::default()
            },
            Line {
                label: Label::new("22 × 13 in, four blades", "22 × 13 in"),
                points: curve(100, 860, 20, finer),
                has_readout: true,
                ..Line::default()
            },
        ],
        points: vec![
            MarkedPoint {
                label: "6.0 kn".into(),
                x: work,
                y: asked(work),
                tone: Tone::Binds,
                has_guides: true,
                axis: AxisSide::Left,
            },
            MarkedPoint {
                label: "6.1 kn".into(),
                x: work_other,
                y: finer(work_other),
                tone: Tone::Ink,
                has_guides: false,
                axis: AxisSide::Left,
            },
        ],
        references: vec![Reference {
            label: Label::new("the diesel turned 793", "diesel 793"),
            at: ReferenceAt::X(793.0),
        }],
        ..Plot::default()
    }
}

fn range() -> Plot {
    let power = |v: f64| 0.5 + 0.037 * v.powi(3) + 0.000_07 * v.powi(6);
    let miles = |v: f64| 13.8 * v / power(v);
    let speeds: Vec<f64> = (15..=68).map(|i| f64::from(i) / 10.0).collect();
    Plot {
        title: "Power and range against speed".into(),
        description:
            "Power rises steeply with speed while range falls; at 5 knots she goes 11 nautical miles \
                      with the reserve kept."
                .into(),
        x: Axis::new("speed through water", "kn", 1).over(1.0, 7.0),
        y: Axis::new("range with reserve kept", "nm", 0).over(0.0, 50.0),
        y2: Some(Axis::new("from the bank", "kW", 1).over(0.0, 24.0)),
        bands: vec![
            Band {
                label: "80 % band".into(),
                points: speeds.iter().map(|v| (*v, 0.82 * miles(*v), 1.2 * miles(*v))).collect(),
                axis: AxisSide::Left,
            },
            Band {
                label: Label::default(),
                points: speeds.iter().map(|v| (*v, 0.85 * power(*v), 1.18 * power(*v))).collect(),
                axis: AxisSide::Right,
            },
        ],
        lines: vec![
            Line {
                label: "range".into(),
                points: speeds.iter().map(|v| (*v, miles(*v))).collect(),
                weight: Weight::Heavy,
                has_readout: true,
                ..Line::default()
            },
            Line {
                label: "power from the bank".into(),
                points: speeds.iter().map(|v| (*v, power(*v))).collect(),
                weight: Weight::Medium,
                dash: Dash::Dashed,
                axis: AxisSide::Right,
                has_readout: true,
                ..Line::default()
            },
        ],
        points: vec![MarkedPoint {
            label: Label::new("11 nm at 5.0 kn", "11 nm"),
            x: 5.0,
            y: miles(5.0),
            tone: Tone::Ink,
            has_guides: true,
            axis: AxisSide::Left,
        }],
        references: vec![
            Reference { label: "full throttle 6.0".into(), at: ReferenceAt::X(6.0) },
            Reference { label: "next pier, 17 nm".into(), at: ReferenceAt::Y(17.0) },
        ],
        ..Plot::default()
    }
}

fn ladder() -> Ladder {
    let step =
        |label: &str, power_w: f64, interval_w, kind| Step { label: label.into(), power_w, interval_w, kind };
    Ladder {
        title: "Where each watt goes at full throttle".into(),
        description: "Of 10,560 W from the bank 4,615 W reach the water; the propeller loses most.".into(),
        source: "from the bank".into(),
        arrival: "reaches the water".into(),
        steps: vec![
            step("cables and controller", 836.0, None, StepKind::Lost),
            step("winding and iron", 736.0, Some((650.0, 840.0)), StepKind::Lost),
            step("reduction, seal and shaft", 298.0, None, StepKind::Lost),
            step("propeller slip and swirl", 4075.0, Some((3480.0, 4690.0)), StepKind::Lost),
            step("hull: clean skin", 2030.0, Some((1890.0, 2180.0)), StepKind::Reaches),
            step("hull: paint and growth", 398.0, Some((120.0, 760.0)), StepKind::Growth),
            step("hull: waves", 1465.0, None, StepKind::Reaches),
            step("wind on rig and topsides", 722.0, None, StepKind::Reaches),
        ],
    }
}

fn day() -> Strip {
    let hours: Vec<u32> = (0..24).collect();
    let sun = |h: f64| (700.0 * (std::f64::consts::PI * (h - 5.5) / 14.0).sin()).max(0.0);
    let mut charge = Vec::new();
    let mut level = 62.0;
    for hour in &hours {
        let h = f64::from(*hour);
        charge.push((h, level - 5.0, level, level + 5.0));
        level =
            (level + sun(h + 0.5) / 150.0 - 1.6 - if (9..11).contains(hour) { 12.0 } else { 0.0 }).min(100.0);
    }
    charge.push((24.0, level - 7.0, level, level + 7.0));
    Strip {
        title: "A day in September at the pier, two hours under power".into(),
        description: "The sun makes good what was used by five in the afternoon.".into(),
        reading: Vec::new(),
        x: Axis {
            quantity: "hour, local time".into(),
            named_ticks: (0..=8).map(|i| (f64::from(i * 3), format!("{:02}:00", i * 3))).collect(),
            range: Some((0.0, 24.0)),
            ..Axis::default()
        },
        lanes: vec![
            Lane {
                axis: Axis::new("sun on the panels", "W", 0).over(0.0, 800.0),
                marks: vec![LaneMarks::Bars(
                    hours
                        .iter()
                        .map(|h| {
                            (f64::from(*h), f64::from(*h + 1), sun(f64::from(*h) + 0.5), (16..19).contains(h))
                        })
                        .collect(),
                )],
                tone: Tone::Ink,
                level: None,
            },
            Lane {
                axis: Axis::new("drive", "", 0),
                marks: vec![LaneMarks::Spans(vec![(9.0, 11.0, "3.2 kW".into()), (19.5, 20.2, "out".into())])],
                tone: Tone::Ink,
                level: None,
            },
            Lane {
                axis: Axis::new("state of charge, 80 % band", "%", 0).over(0.0, 100.0),
                marks: vec![LaneMarks::Band(charge)],
                tone: Tone::Ink,
                level: Some((25.0, "reserve 25 %".into())),
            },
        ],
        ..Strip::default()
    }
}

fn causes() -> Intervals {
    let row = |label: &str, low, median, high, text: &str, tone| IntervalRow {
        label: label.into(),
        low,
        median,
        high,
        text: text.into(),
        tone,
    };
    Intervals {
        title: "What costs her speed".into(),
        description: "A current limit set too low is the likeliest cause of the missing 0.7 knots.".into(),
        axis: Axis::new("knots lost", "kn", 2),
        reference: Some(0.0),
        rows: vec![
            row("limits set lower than stated", 0.36, 0.52, 0.67, "0.52 kn (0.36–0.67)", Tone::Binds),
            row("propeller other than its stamp", -0.02, 0.12, 0.27, "0.12 kn (−0.02–0.27)", Tone::Ink),
            row("tired bank", 0.01, 0.05, 0.10, "0.05 kn (0.01–0.10)", Tone::Ink),
            row("wind or stream not given", -0.10, 0.02, 0.13, "0.02 kn (−0.10–0.13)", Tone::Muted),
        ],
    }
}

fn candidates() -> Scatter {
    let mut list = Vec::new();
    for i in 0..90_u32 {
        let scattered = |seed: f64| (f64::from(i) * seed).sin().mul_add(43_758.5, 0.0).rem_euclid(1.0);
        let (a, b) = (scattered(12.9898), scattered(78.233).powf(0.8));
        let price = 3.2 + 9.0 * a;
        let best = 4.3 + 1.9 * (1.0 - (-(price - 3.0) / 3.0).exp());
        list.push(Candidate {
            key: format!("c{i}"),
            label: String::new(),
            x: price,
            y: best - 0.1 - 1.1 * b,
            tone: Tone::Muted,
        });
    }
    let front: Vec<(f64, f64)> = (32..=122)
        .step_by(6)
        .map(|i| {
            let price = f64::from(i) / 10.0;
            (price, 4.3 + 1.9 * (1.0 - (-(price - 3.0) / 3.0).exp()))
        })
        .collect();
    list.push(Candidate {
        key: "as-she-is".into(),
        label: "as she is, 4.9 kn".into(),
        x: 4.6,
        y: 4.9,
        tone: Tone::Binds,
    });
    list.push(Candidate {
        key: "chosen".into(),
        label: "3.1 : 1, 23 × 14 in: 5.9 kn".into(),
        x: front[8].0,
        y: front[8].1,
        tone: Tone::Passes,
    });
    Scatter {
        title: "Speed against cost of all candidates".into(),
        description: "The front flattens above seven thousand.".into(),
        x: Axis { is_from_zero: false, ..Axis::new("parts, in thousands", "€", 1) },
        y: Axis { is_from_zero: false, ..Axis::new("speed at full throttle", "kn", 1) },
        candidates: list,
        front,
        front_label: "no other is both faster and cheaper".into(),
    }
}

fn texts(list: [&str; 7]) -> DimensionTexts {
    let [
        length_overall,
        length_waterline,
        draught,
        freeboard,
        propeller_diameter,
        tip_clearance,
        shaft_depth,
    ] = list.map(String::from);
    DimensionTexts {
        length_overall,
        length_waterline,
        draught,
        freeboard,
        propeller_diameter,
        tip_clearance,
        shaft_depth,
    }
}

fn ketch() -> Profile {
    Profile {
        title: "Long-keel ketch from the side".into(),
        description: "12.7 m long, 1.7 m deep, her propeller in an aperture before the rudder.".into(),
        length_overall_m: Some(12.7),
        length_waterline_m: Some(10.95),
        draught_m: Some(1.7),
        canoe_body_draught_m: Some(0.92),
        freeboard_m: Some(1.25),
        keel: Keel::Long,
        rudder: Rudder::Keel,
        mast_base_m: Some(4.6),
        propeller_diameter_m: Some(0.559),
        shaft_depth_m: Some(1.05),
        aperture: Some(Aperture { height_m: 0.69, length_m: 0.32 }),
        arrangement: Arrangement::Aperture,
        tip_clearance_m: Some(0.066),
        texts: texts([
            "12.70 m over all",
            "10.95 m waterline",
            "1.70 m",
            "1.25 m",
            "22 in",
            "tip 66 mm",
            "1.05 m deep",
        ]),
        fitted: Fitted::default(),
    }
}

fn fin_keeler() -> Profile {
    Profile {
        title: "Fin-keel sloop from the side".into(),
        description: "11.2 m long, 1.9 m deep, with a saildrive.".into(),
        length_overall_m: Some(11.2),
        length_waterline_m: Some(9.6),
        draught_m: Some(1.9),
        canoe_body_draught_m: Some(0.52),
        freeboard_m: Some(1.12),
        keel: Keel::Fin,
        rudder: Rudder::Spade,
        mast_base_m: Some(4.3),
        propeller_diameter_m: Some(0.406),
        shaft_depth_m: Some(0.82),
        aperture: None,
        arrangement: Arrangement::Saildrive,
        tip_clearance_m: Some(0.15),
        texts: texts(["11.20 m over all", "9.60 m waterline", "1.90 m", "1.12 m", "16 in", "tip 150 mm", ""]),
        fitted: Fitted::default(),
    }
}

fn twin_keeler() -> Profile {
    Profile {
        title: "Twin-keel sloop from the side".into(),
        description: "8.4 m long, 1.05 m deep, open shaft with a bracket.".into(),
        length_overall_m: Some(8.4),
        length_waterline_m: Some(7.1),
        draught_m: Some(1.05),
        canoe_body_draught_m: Some(0.45),
        freeboard_m: Some(0.98),
        keel: Keel::Twin,
        rudder: Rudder::Skeg,
        mast_base_m: Some(3.3),
        propeller_diameter_m: Some(0.33),
        shaft_depth_m: Some(0.62),
        aperture: None,
        arrangement: Arrangement::PBracket,
        tip_clearance_m: Some(0.07),
        texts: texts(["8.40 m over all", "7.10 m waterline", "1.05 m", "0.98 m", "13 in", "tip 70 mm", ""]),
        fitted: Fitted::default(),
    }
}

fn launch() -> Profile {
    Profile {
        title: "Launch from the side".into(),
        description: "7.2 m long, 0.72 m deep, propeller between deadwood and rudder.".into(),
        length_overall_m: Some(7.2),
        length_waterline_m: Some(6.8),
        draught_m: Some(0.72),
        canoe_body_draught_m: Some(0.42),
        freeboard_m: Some(0.62),
        keel: Keel::None,
        rudder: Rudder::Transom,
        mast_base_m: None,
        propeller_diameter_m: Some(0.406),
        shaft_depth_m: Some(0.42),
        aperture: None,
        arrangement: Arrangement::Aperture,
        tip_clearance_m: Some(0.05),
        texts: texts([
            "7.20 m over all",
            "6.80 m waterline",
            "0.72 m",
            "0.62 m",
            "16 in",
            "tip 50 mm",
            "0.42 m deep",
        ]),
        fitted: Fitted::default(),
    }
}
