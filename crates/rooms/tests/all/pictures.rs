//! Every picture of the gallery, and pictures of odd inputs: well-formed, free of bad numbers, no text on another.

// Helpers of tests may fail loudly.
#![allow(clippy::unwrap_used)]

#[path = "../../examples/gallery/pictures.rs"]
mod gallery;

use wakewright_picture::{
    Axis, Band, Candidate, Drawing, Frame, IntervalRow, Intervals, LabelBox, Ladder, Lane, LaneMarks, Line,
    MarkedPoint, Picture, Plot, Profile, Reference, ReferenceAt, Region, Scatter, Step, StepKind, Strip,
    Theme, Tone,
};

const WIDTHS: [f64; 7] = [332.0, 360.0, 480.0, 600.0, 720.0, 1100.0, 1280.0];

/// Parses as XML and holds no number that a reader could choke on.
fn assert_sound(drawing: &Drawing, what: &str) {
    let options = roxmltree::ParsingOptions::default();
    let document = roxmltree::Document::parse_with_options(&drawing.svg, options)
        .unwrap_or_else(|error| panic!("{what}: {error}"));
    let mut ids = Vec::new();
    for node in document.descendants().filter(roxmltree::Node::is_element) {
        for attribute in node.attributes() {
            if attribute.name() != "data-readout" {
                let value = attribute.value();
                assert!(!value.contains("NaN") && !value.contains("inf"), "{what}: {value}");
            }
            if attribute.name() == "id" {
                ids.push(attribute.value());
            }
            if attribute.name() == "font-size" {
                assert!(attribute.value().parse::<f64>().unwrap() >= 12.0, "{what}: text under 12 px");
            }
        }
    }
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "{what}: an id stands twice");
    assert!(drawing.height_px.is_finite() && drawing.height_px > 0.0, "{what}");
}

fn assert_labels_stand_apart(drawing: &Drawing, what: &str) {
    for (index, label) in drawing.label_boxes.iter().enumerate() {
        for corner in label.corners {
            assert!(
                corner.0 >= -0.5
                    && corner.1 >= -0.5
                    && corner.0 <= drawing.width_px + 0.5
                    && corner.1 <= drawing.height_px + 0.5,
                "{what}: {:?} leaves the frame at {corner:?}",
                label.text
            );
        }
        for other in &drawing.label_boxes[index + 1..] {
            assert!(!label.overlaps(other), "{what}: {:?} lies on {:?}", label.text, other.text);
            assert!(
                gap_on_a_line_px(label, other) >= 4.0,
                "{what}: {:?} runs into {:?}",
                label.text,
                other.text
            );
        }
    }
}

/// How far two upright labels on one line of writing stand apart; no matter how far for others.
fn gap_on_a_line_px(one: &LabelBox, other: &LabelBox) -> f64 {
    let side = |label: &LabelBox, of: fn(f64, f64) -> f64, at: fn((f64, f64)) -> f64| {
        label.corners.into_iter().map(at).reduce(of).unwrap()
    };
    let is_upright = |label: &LabelBox| (label.corners[0].1 - label.corners[1].1).abs() < 1e-6;
    let span =
        |label: &LabelBox, at: fn((f64, f64)) -> f64| (side(label, f64::min, at), side(label, f64::max, at));
    let (a, b) = (span(one, |c| c.1), span(other, |c| c.1));
    let shared = a.1.min(b.1) - a.0.max(b.0);
    if !is_upright(one) || !is_upright(other) || shared < 0.5 * (a.1 - a.0) {
        return f64::INFINITY;
    }
    let (a, b) = (span(one, |c| c.0), span(other, |c| c.0));
    (a.0.max(b.0) - a.1.min(b.1)).max(0.0)
}

#[test]
fn gallery_is_sound_and_its_labels_stand_apart() {
    for (name, picture) in gallery::all() {
        for width in WIDTHS {
            for theme in [Theme::Light, Theme::Page] {
                let drawing = picture.draw(&Frame::new(width, theme, name));
                let what = format!("{name} at {width}");
                assert_sound(&drawing, &what);
                assert_labels_stand_apart(&drawing, &what);
            }
        }
    }
}

/// Straight pieces of everything that is drawn as an unfilled line, from the SVG itself.
fn drawn_lines(svg: &str) -> Vec<((f64, f64), (f64, f64))> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let mut found = Vec::new();
    for node in
        document.descendants().filter(|n| n.attribute("fill") == Some("none") && n.has_tag_name("path"))
    {
        let data = node.attribute("d").unwrap().replace(['M', 'L'], " ");
        let numbers: Vec<f64> = data.split_whitespace().map(|n| n.parse().unwrap()).collect();
        let points: Vec<(f64, f64)> = numbers.chunks_exact(2).map(|c| (c[0], c[1])).collect();
        found.extend(points.windows(2).map(|w| (w[0], w[1])));
    }
    found
}

/// Looked at from outside the placer: points along every curve, boundary, guide and reference line lie in no label.
#[test]
fn no_label_lies_on_a_line() {
    for (name, picture) in
        gallery::all().iter().filter(|(n, _)| ["torque", "range", "candidates"].contains(n))
    {
        for width in WIDTHS {
            let drawing = picture.draw(&Frame::new(width, Theme::Page, name));
            let lines = drawn_lines(&drawing.svg);
            assert!(lines.len() > 10);
            for label in &drawing.label_boxes {
                for (a, b) in &lines {
                    for i in 0..=20 {
                        let t = f64::from(i) / 20.0;
                        let point = (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
                        let sides = (0..4).map(|k| {
                            let (p, q) = (label.corners[k], label.corners[(k + 1) % 4]);
                            (q.0 - p.0) * (point.1 - p.1) - (q.1 - p.1) * (point.0 - p.0)
                        });
                        let is_inside = sides.into_iter().all(|side| side > 0.5);
                        assert!(!is_inside, "{name} at {width}: a line runs through {:?}", label.text);
                    }
                }
            }
        }
    }
}

/// No label of a curve or a boundary may be lost, whatever the width.
#[test]
fn every_label_of_the_torque_chart_is_there_at_every_width() {
    let picture = &gallery::all()[0].1;
    for width in WIDTHS {
        let drawing = picture.draw(&Frame::new(width, Theme::Light, "torque"));
        let has = |a: &str, b: &str| {
            drawing.label_boxes.iter().any(|l| l.text.starts_with(a) || (!b.is_empty() && l.text == b))
        };
        for (long, short) in [
            ("phase current", "250 A phase"),
            ("bank volts", ""),
            ("all day", ""),
            ("as she is", ""),
            ("22 × 15 in, hull clean", "hull clean"),
            ("22 × 13 in", ""),
            ("6.0 kn", ""),
            ("6.1 kn", ""),
            ("the diesel turned", "diesel 793"),
            ("80 % band", ""),
        ] {
            assert!(has(long, short), "{long} is missing at {width}");
        }
    }
}

#[test]
fn page_theme_embeds_nothing_and_the_others_stand_alone() {
    let picture = &gallery::all()[0].1;
    let page = picture.to_svg(&Frame::new(720.0, Theme::Page, "a"));
    assert!(page.contains("var(--binds)") && !page.contains("base64") && !page.contains("#ab2f17"));
    let file = picture.to_svg(&Frame::new(720.0, Theme::Dark, "a"));
    assert!(file.contains("base64") && !file.contains("var("));
}

#[test]
fn readout_is_json_with_formatted_values() {
    let svg = gallery::all()[0].1.to_svg(&Frame::new(720.0, Theme::Page, "a"));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let readout = document.root_element().attribute("data-readout").unwrap();
    let value: serde_json::Value = serde_json::from_str(readout).unwrap();
    let series = value["series"].as_array().unwrap();
    assert_eq!(series.len(), 5);
    assert!(series[0]["points"][0][3].as_str().unwrap().ends_with("N m"));
}

/// Values that upset scales: none, one, all equal, huge, tiny, no numbers.
fn odd_values() -> Vec<Vec<(f64, f64)>> {
    vec![
        vec![],
        vec![(1.0, 1.0)],
        vec![(2.0, 5.0); 4],
        vec![(0.0, 0.0), (0.0, 0.0)],
        vec![(1e300, -1e300), (f64::MAX, f64::MIN)],
        vec![(1e18, 1e22), (2e18, 3e22)],
        vec![(1e-300, 1e-300), (2e-300, 5e-301)],
        vec![(f64::NAN, 1.0), (1.0, f64::INFINITY), (2.0, 3.0)],
        vec![(-5.0, -3.0), (-4.0, -9.0)],
        vec![(1e9, 1e9 + 1e-3), (1e9 + 1e-5, 1e9)],
    ]
}

fn axis() -> Axis {
    Axis { is_from_zero: false, ..Axis::new("quantity <&> \"x\"", "N m", 1) }
}

#[test]
fn odd_values_give_sound_pictures() {
    for (index, values) in odd_values().into_iter().enumerate() {
        let (x, y) = values.first().copied().unwrap_or((f64::NAN, 0.0));
        let plot = Plot {
            title: "odd <&> values\u{1}".into(),
            x: axis(),
            y: Axis { range: Some((y, y)), ..axis() },
            y2: Some(axis()),
            lines: vec![Line {
                label: "a & b".into(),
                points: values.clone(),
                has_readout: true,
                ..Line::default()
            }],
            bands: vec![Band {
                label: "band".into(),
                points: values.iter().map(|p| (p.0, p.1, p.1)).collect(),
                ..Band::default()
            }],
            regions: vec![Region { label: "region".into(), outline: values.clone(), ..Region::default() }],
            points: vec![MarkedPoint {
                label: "here".into(),
                x,
                y,
                has_guides: true,
                ..MarkedPoint::default()
            }],
            references: vec![
                Reference { label: "x".into(), at: ReferenceAt::X(x) },
                Reference { label: "y".into(), at: ReferenceAt::Y(y) },
            ],
            ..Plot::default()
        };
        let scatter = Scatter {
            x: axis(),
            y: axis(),
            candidates: values
                .iter()
                .map(|p| Candidate { key: "<k>".into(), label: "l".into(), x: p.0, y: p.1, tone: Tone::Ink })
                .collect(),
            front: values.clone(),
            front_label: "front".into(),
            ..Scatter::default()
        };
        let ladder = Ladder {
            source: "from the bank".into(),
            steps: values
                .iter()
                .map(|p| Step {
                    label: "step".into(),
                    power_w: p.0,
                    interval_w: Some((p.0, p.1)),
                    kind: StepKind::Lost,
                })
                .collect(),
            ..Ladder::default()
        };
        let intervals = Intervals {
            axis: axis(),
            reference: Some(y),
            rows: values
                .iter()
                .map(|p| IntervalRow {
                    label: "row".into(),
                    median: p.1,
                    low: p.0,
                    high: p.1,
                    text: "t".into(),
                    tone: Tone::Ink,
                })
                .collect(),
            ..Intervals::default()
        };
        let lane =
            |marks| Lane { axis: axis(), marks: vec![marks], tone: Tone::Ink, level: Some((y, "l".into())) };
        let strip = Strip {
            x: axis(),
            lanes: vec![
                lane(LaneMarks::Line(values.clone())),
                lane(LaneMarks::Bars(values.iter().map(|p| (p.0, p.0, p.1, true)).collect())),
                lane(LaneMarks::Band(values.iter().map(|p| (p.0, p.1, p.1, p.1)).collect())),
                lane(LaneMarks::Spans(values.iter().map(|p| (p.0, p.1, "s".into())).collect())),
            ],
            shaded: values.clone(),
            is_marked: true,
            ..Strip::default()
        };
        let profile = Profile {
            length_overall_m: Some(x),
            length_waterline_m: Some(y),
            draught_m: Some(-x),
            freeboard_m: Some(f64::NAN),
            mast_base_m: Some(y),
            ..Profile::default()
        };
        let pictures: [(&str, &dyn Picture); 6] = [
            ("plot", &plot),
            ("scatter", &scatter),
            ("ladder", &ladder),
            ("intervals", &intervals),
            ("strip", &strip),
            ("profile", &profile),
        ];
        for (name, picture) in pictures {
            for width in [360.0, 1100.0, f64::NAN] {
                let drawing = picture.draw(&Frame::new(width, Theme::Page, "odd id <"));
                assert_sound(&drawing, &format!("{name} of odd values {index} at {width}"));
            }
        }
    }
}
