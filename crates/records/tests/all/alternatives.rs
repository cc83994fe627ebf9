//! Alternatives in a document: read by the grammar of the fields they change, judged as a whole.

use wakewright_records::boat::{
    Alternative, BoatDocument, Change, Cost, Fault, Severity, build_variants, parse_cost,
};

const BOAT: &str = include_str!("../../../../examples/sweet_gale.toml");

fn with(tail: &str) -> String {
    format!("{BOAT}\n{tail}")
}

fn parse(tail: &str) -> BoatDocument {
    BoatDocument::parse(&with(tail)).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn errors(tail: &str) -> Vec<Fault> {
    let faults = BoatDocument::parse_lenient(&with(tail)).1;
    faults.into_iter().filter(|fault| fault.severity == Severity::Error).collect()
}

/// Line of the document on which `part` of the tail stands.
fn line_of(tail: &str, part: &str) -> usize {
    let text = with(tail);
    text[..text.rfind(part).expect("it is in the tail")].matches('\n').count() + 1
}

#[test]
fn inline_dotted_and_own_tables_say_the_same() {
    let forms = [
        "[[alternative]]\nname = \"a\"\nchanges = { \"propeller.pitch\" = \"11 in\", \"pack[1].count\" = 3 }\n",
        "[[alternative]]\nname = \"a\"\nchanges.propeller.pitch = \"11 in\"\nchanges.\"pack[1]\".count = 3\n",
        "[[alternative]]\nname = \"a\"\n[alternative.changes]\n\"propeller.pitch\" = \"11 in\"\n\"pack[1].count\" = 3\n",
    ];
    for form in forms {
        let document = parse(form);
        let found = document.alternatives();
        let changes: Vec<(&str, &str)> =
            found[0].changes.iter().map(|c| (c.address.as_str(), c.text.as_str())).collect();
        assert_eq!(changes, [("propeller.pitch", "11 in"), ("pack[1].count", "3")], "{form}");
        let changed = document.alternative("a").unwrap().unwrap();
        assert_eq!(changed.typed("propeller.pitch"), Some("11 in"));
        assert_eq!(changed.integer("pack[1].count"), Some(3));
        assert_eq!(changed.typed("propeller.diameter"), document.typed("propeller.diameter"));
        assert_eq!(document.typed("propeller.pitch"), Some("10 in"), "the document stays as it is");
    }
}

#[test]
fn costs_keep_amount_and_currency() {
    for (text, amount, currency) in [
        ("250 EUR", 250.0, "EUR"),
        ("EUR 1,900", 1900.0, "EUR"),
        ("~£300", 300.0, "£"),
        ("1,900.50 SEK, assumed", 1900.5, "SEK"),
    ] {
        let cost = Cost { amount, currency: currency.to_owned(), text: text.to_owned() };
        assert_eq!(parse_cost(text), Some(cost));
    }
    for bad in ["250", "EUR", "about two hundred", "", "-20 EUR", "EUR 20 USD"] {
        assert_eq!(parse_cost(bad), None, "{bad}");
    }
}

#[test]
fn faults_stand_at_the_change_that_makes_them() {
    let tail = "[[alternative]]
name = \"bad\"
cost = \"much\"
changes = { \"propeller.pich\" = \"11 in\", \"boat.name\" = \"x\", \"propeller.diameter\" = \"12 kg\" }

[[alternative]]
name = \"contradicts\"
[alternative.changes]
\"propeller.blades\" = 2
\"pack[1].voltage\" = \"24 V\"

[[alternative]]
name = \"bad\"
changes = { \"reduction.ratio\" = \"2.2\" }

[[mass]]
alternative = \"nobody\"
what = \"cells\"
mass = \"10 kg\"
";
    let faults = errors(tail);
    for (field, part) in [
        ("alternative[1].changes.propeller.pich", "changes = { \"propeller.pich"),
        ("alternative[1].changes.boat.name", "changes = { \"propeller.pich"),
        ("alternative[1].changes.propeller.diameter", "changes = { \"propeller.pich"),
        ("alternative[1].cost", "cost = \"much"),
        ("alternative[2].pack[1].voltage", "\"pack[1].voltage\" = \"24 V\""),
        ("alternative[3].name", "name = \"bad\""),
        ("mass[1].alternative", "alternative = \"nobody\""),
    ] {
        let fault = faults.iter().find(|fault| fault.field == field);
        let fault = fault.unwrap_or_else(|| panic!("{field} in {faults:#?}"));
        assert_eq!(fault.line, line_of(tail, part), "{field}: {fault:?}");
        assert!(!fault.advice.is_empty(), "{fault:?}");
    }
    assert_eq!(faults.len(), 7, "{faults:#?}");
    assert!(faults.iter().any(|fault| fault.advice.contains("propeller.pitch")), "a near name is offered");
}

#[test]
fn an_alternative_without_name_or_changes_is_refused() {
    let fields = |tail| errors(tail).into_iter().map(|fault| fault.field).collect::<Vec<_>>();
    assert_eq!(fields("[[alternative]]\nname = \"a\"\n"), ["alternative[1].changes"]);
    assert_eq!(fields("[[alternative]]\nname = \"a\"\nchanges = {}\n"), ["alternative[1].changes"]);
    assert_eq!(fields("[[alternative]]\nname = \"a\"\nchanges = \"pitch\"\n"), ["alternative[1].changes"]);
    assert_eq!(
        fields("[[alternative]]\nchanges = { \"propeller.pitch\" = \"11 in\" }\n"),
        ["alternative[1].name"]
    );
}

#[test]
fn many_alternatives_are_doubted_and_a_displacement_counts_once() {
    let one = |i: usize| {
        format!("[[alternative]]\nname = \"{i}\"\nchanges = {{ \"propeller.pitch\" = \"{i} in\" }}\n")
    };
    let seven: String = (7..14).map(one).collect();
    let document = parse(&seven);
    assert!(document.doubts().iter().any(|doubt| doubt.field == "alternative[7]"), "{:?}", document.doubts());
    let twice = "[[alternative]]\nname = \"light\"\nchanges = { \"hull.displacement\" = \"2.4 t\" }\n
[[mass]]\nalternative = \"light\"\nwhat = \"tank\"\ndirection = \"out\"\nmass = \"60 kg\"\n";
    assert_eq!(errors(twice).len(), 1);
}

#[test]
fn variants_carry_changes_and_masses() {
    let document = parse(
        "[[alternative]]\nname = \"deep\"\ncost = \"300 EUR\"\nchanges = { \"propeller.pitch\" = \"11 in\" }\n
[[mass]]\nalternative = \"deep\"\nwhat = \"tank\"\ndirection = \"out\"\nmass = \"60 kg\"\naft = \"5 m\"\n",
    );
    let variants = build_variants(&document, &document.alternatives()).unwrap();
    assert_eq!(variants.len(), 2);
    assert_eq!(variants[1].about.cost.as_deref(), Some("300 EUR"));
    let boats = (&variants[0].spec.boat, &variants[1].spec.boat);
    assert!((boats.1.propeller.pitch_m - 11.0 * 0.0254).abs() < 1e-12);
    assert!((boats.0.form.displacement_kg - boats.1.form.displacement_kg - 60.0).abs() < 1e-9);
    let tried = Alternative {
        name: "tried".to_owned(),
        note: None,
        cost: None,
        changes: vec![Change::new("pack[1].cells_in_series", "20"), Change::new("pack[1].voltage", "24 V")],
    };
    let faults = build_variants(&document, &[tried]).unwrap_err();
    assert!(faults.iter().any(|fault| fault.field == "tried: pack[1].voltage"), "{faults:#?}");
}
