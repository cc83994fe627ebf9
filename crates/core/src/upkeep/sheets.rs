//! The sheets of check-ups. Not for: how they are worked out (`study`).

use jiff::civil::Date;
use wakewright_units::Quantity;

use super::figure::UPKEEP_FIGURES;
use super::study::{Listed, PartRow, Tested, UpkeepStudy, ValueRow};
use crate::sheet::{AnySheet, Column, Figure, Form, Interval, List, Origin, Sheet, Tone, plain};

/// Every sheet, in its order in files.
pub static UPKEEP_SHEETS: [&dyn AnySheet<UpkeepStudy>; 5] = [&FIGURES, &VALUES, &PARTS, &TESTS, &LISTED];

const NO_FORMULA: Origin = Origin::Because("it is what was found and noted");
const DAYS: Origin = Origin::Of("capacity_fall");

static WORN_FROM: Figure =
    Figure::plain("worn_from", "worn from", "bank counts as worn, one time in ten before", DAYS);
static WORN: Figure = Figure::plain("worn", "worn", "bank counts as worn, as often before as after", DAYS);
static WORN_TO: Figure =
    Figure::plain("worn_to", "worn to", "bank counts as worn, one time in ten after", DAYS);
static TRIP_FROM: Figure =
    Figure::plain("trip_fails_from", "fails from", "longest trip fails, one time in ten before", DAYS);
static TRIP: Figure =
    Figure::plain("trip_fails", "fails", "longest trip fails, as often before as after", DAYS);
static TRIP_TO: Figure =
    Figure::plain("trip_fails_to", "fails to", "longest trip fails, one time in ten after", DAYS);

fn said(day: Option<Date>) -> Option<String> {
    Some(day?.to_string())
}

type Of = Column<UpkeepStudy>;

static FIGURES: Sheet<UpkeepStudy, UpkeepStudy> = Sheet {
    key: "figures",
    title: "What her bank holds",
    form: Form::List,
    columns: &[
        &UPKEEP_FIGURES,
        &List(&[
            Of::text(&WORN_FROM, |s| said(s.worn?.from)),
            Of::text(&WORN, |s| said(s.worn?.middle)),
            Of::text(&WORN_TO, |s| said(s.worn?.to)),
            Of::text(&TRIP_FROM, |s| said(s.trip?.from)),
            Of::text(&TRIP, |s| said(s.trip?.middle)),
            Of::text(&TRIP_TO, |s| said(s.trip?.to)),
        ]),
    ],
    rows: |study, see| {
        if !study.asked.tests.is_empty() || study.asked.trip_share.is_some() {
            see(study);
        }
    },
    tone: plain,
};

static VALUE_OF: Figure = Figure::plain("value_of", "what", "what was measured", Origin::Asked);
static VALUE_LAST: Figure = Figure::plain("value_last", "last", "last reading", Origin::Asked);
static VALUE_LIMIT: Figure = Figure::plain(
    "value_limit",
    "limit",
    "limit of the list; the maker's goes before it",
    Origin::Because("it stands in the list of the check-up, with its standing"),
);
static VALUE_COUNT: Figure = Figure::plain("value_readings", "read", "readings", Origin::Of("capacity_fall"));
static VALUE_CHANGE: Figure =
    Figure::plain("value_change", "a year", "change in a year, by a line as that of the bank's tests", DAYS);
static VALUE_SHOWN: Figure = Figure::plain(
    "value_change_shown",
    "would\nshow",
    "smallest change from first to last that these readings would show",
    Origin::Of("capacity_fall_shown"),
);
static VALUE_FROM: Figure =
    Figure::plain("value_reached_from", "from", "limit is reached, one time in ten before", DAYS);
static VALUE_REACHED: Figure =
    Figure::plain("value_reached", "at limit", "limit is reached, as often before as after", DAYS);
static VALUE_TO: Figure =
    Figure::plain("value_reached_to", "to", "limit is reached, one time in ten after", DAYS);

type OfValue = Column<ValueRow>;

static VALUES: Sheet<UpkeepStudy, ValueRow> = Sheet {
    key: "values",
    title: "What was measured",
    form: Form::Table,
    columns: &[&List(&[
        OfValue::text(&VALUE_OF, |v| Some(v.measured.what.to_owned())),
        OfValue::count(&VALUE_COUNT, |v| Some(v.readings.len() as u64)),
        OfValue::number_of(&VALUE_LAST, |v| Some((v.measured.quantity, v.last.value))),
        OfValue::number_of(&VALUE_LIMIT, |v| Some((v.measured.quantity, v.measured.limit?))),
        OfValue::band_of(&VALUE_CHANGE, |v| Some((v.measured.quantity, v.trend.ok()?.per_year())))
            .value_only(),
        OfValue::number_of(&VALUE_SHOWN, |v| Some((v.measured.quantity, v.trend.ok()?.smallest_change())))
            .in_files(),
        OfValue::text(&VALUE_FROM, |v| said(v.reached?.from)).in_files(),
        OfValue::text(&VALUE_REACHED, |v| said(v.reached?.middle)),
        OfValue::text(&VALUE_TO, |v| said(v.reached?.to)).in_files(),
    ])],
    rows: |study, see| study.values.iter().for_each(see),
    tone: |_, value| if value.is_beyond() { Tone::Strong } else { Tone::Plain },
};

static PART_OF: Figure = Figure::plain("part_of", "what", "bank, group or pack", Origin::Asked);
static PART_TESTS: Figure = Figure::plain("part_test", "last", "day of its last test", Origin::Asked);
static PART_HOLDS: Figure = Figure::part(
    "part_holds",
    "holds",
    "capacity that its tests tell for today, over the rated one",
    Quantity::Share,
    "capacity_by_tests",
);
static PART_FALLS: Figure = Figure::part(
    "part_falls",
    "a year",
    "capacity that it loses in a year, over the rated one",
    Quantity::Share,
    "capacity_fall",
);

/// A part with what it holds on the day that is asked for.
type PartToday = (PartRow, Interval);
type OfPart = Column<PartToday>;

static PARTS: Sheet<UpkeepStudy, PartToday> = Sheet {
    key: "parts",
    title: "Bank, groups and packs",
    form: Form::Table,
    columns: &[&List(&[
        OfPart::text(&PART_OF, |(part, _)| Some(named(&part.of))),
        OfPart::text(&PART_TESTS, |(part, _)| Some(part.last.day.to_string())),
        OfPart::band(&PART_HOLDS, |(_, holds)| Some(*holds)),
        OfPart::band(&PART_FALLS, |(part, _)| part.fall_per_year()).decimals(1),
    ])],
    // Of the bank alone the figures say it.
    rows: |study, see| {
        let is_told = study.parts.iter().any(|part| !part.of.is_empty());
        let parts = study.parts.iter().filter(|_| is_told);
        parts.for_each(|part| see(&(part.clone(), part.on(study.asked.today))));
    },
    tone: plain,
};

fn named(of: &str) -> String {
    if of.is_empty() { "whole bank".to_owned() } else { of.to_owned() }
}

static TEST_DAY: Figure = Figure::plain("test_day", "day", "day of the test", Origin::Asked);
static TEST_OF: Figure = Figure::plain("test_of", "what", "what was tested", Origin::Asked);
static TEST_TAKEN: Figure = Figure::part(
    "test_taken",
    "taken out",
    "charge that was taken out",
    Quantity::Charge,
    "capacity_by_tests",
);
static TEST_CAPACITY: Figure = Figure::part(
    "test_capacity",
    "holds",
    "capacity at 25 °C and the rated rate",
    Quantity::Charge,
    "capacity_by_tests",
);
static TEST_SHARE: Figure = Figure::part(
    "test_share",
    "of rated",
    "the same over what stands on the label",
    Quantity::Share,
    "capacity_by_tests",
);

type OfTest = Column<Tested>;

static TESTS: Sheet<UpkeepStudy, Tested> = Sheet {
    key: "tests",
    title: "Tests of the bank",
    form: Form::Table,
    columns: &[&List(&[
        OfTest::text(&TEST_DAY, |t| Some(t.day.to_string())),
        OfTest::text(&TEST_OF, |t| Some(named(&t.of))),
        OfTest::number(&TEST_TAKEN, |t| Some(t.capacity.taken_coulomb)),
        OfTest::band(&TEST_CAPACITY, |t| Some(t.capacity.coulomb)),
        OfTest::value(&TEST_SHARE, |t| Some(t.capacity.share)),
    ])],
    rows: |study, see| study.asked.tests.iter().for_each(see),
    tone: plain,
};

static LIST_KEY: Figure = Figure::plain("item", "item", "item of the list", Origin::Asked);
static LIST_STAGE: Figure = Figure::plain("item_stage", "where", "where in the round it stands", NO_FORMULA);
static LIST_WHAT: Figure = Figure::plain("item_what", "what to do", "what to do", NO_FORMULA);
static LIST_STANDING: Figure = Figure::plain("item_standing", "standing", "what it stands on", NO_FORMULA);
static LIST_FOUND: Figure = Figure::plain("item_found", "found", "what was found last", NO_FORMULA);
static LIST_LOOKED: Figure =
    Figure::plain("item_looked_at", "looked at", "when it was looked at last", NO_FORMULA);
static LIST_NOTE: Figure = Figure::plain("item_note", "note", "what was noted then", NO_FORMULA);
static LIST_DUE: Figure =
    Figure::plain("item_due", "due", "when it is due; now where it was never looked at", NO_FORMULA);

type OfList = Column<Listed>;

static LISTED: Sheet<UpkeepStudy, Listed> = Sheet {
    key: "list",
    title: "The list",
    form: Form::FileTable,
    columns: &[&List(&[
        OfList::text(&LIST_KEY, |l| Some(l.item.key.to_owned())),
        OfList::text(&LIST_STAGE, |l| Some(l.item.stage.words().to_owned())),
        OfList::text(&LIST_WHAT, |l| Some(l.item.what.to_owned())),
        OfList::text(&LIST_STANDING, |l| Some(l.item.standing.words().to_owned())),
        OfList::text(&LIST_FOUND, |l| Some(l.last?.found.words().to_owned())),
        OfList::text(&LIST_LOOKED, |l| Some(l.last?.day.to_string())),
        OfList::text(&LIST_NOTE, |l| (!l.note.is_empty()).then(|| l.note.clone())),
        OfList::text(&LIST_DUE, |l| said(l.due())),
    ])],
    rows: |study, see| study.asked.list.iter().for_each(see),
    tone: plain,
};
