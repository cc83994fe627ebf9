//! Which columns are taken, in which unit, and what stays in doubt about them: of several of one
//! quantity the right one. Not for: volts and amps of one battery (`batteries`).

use wakewright_units::Quantity;

use super::batteries::batteries;
use super::cells::cells_in_a_row;
use super::decimals::{Decimals, decimals_of};
use super::label_rows::LabelConvention;
use super::left::left_why;
use super::letter::{LetterO, hemisphere};
use super::mapping::{ColumnMapping, Shape};
use super::meaning::{Meaning, meaning_of};
use super::names::{is_in_ten_millionths, label_of, says_boat_speed, says_current, short_name};
use super::numbers::{number_in, unit_in_cells};
use super::place::angle_of_place;
use super::position::order_of;
use super::propose::{Doubt, DoubtKind, Sheet, unit_said};
use super::unit_of::{join_steps, join_unit_doubts, settle_power_unit, unit_beside, unit_of};
use super::unit_said::{UnitSaid, says_factor, unit_named, usual_unit};
use super::words::{Idea, LONGEST_NAME, ideas, words};
use crate::checks::median;
use crate::measured::Measured as M;

/// A column that measures something.
pub(super) struct Candidate {
    pub column: usize,
    pub meaning: Meaning,
    pub mapped: ColumnMapping,
    /// SI values of the first rows, as the column is taken.
    pub values: Vec<f64>,
}

/// Two columns whose middles differ by less say the same.
const ALIKE: f64 = 0.03;

/// The columns that are taken.
pub(super) fn columns_of(
    sheet: &Sheet,
    times: &[usize],
    shape: Shape,
    doubts: &mut Vec<Doubt>,
    remarks: &mut Vec<String>,
) -> Vec<ColumnMapping> {
    let convention = if shape == Shape::Labels { LabelConvention::of(sheet) } else { None };
    let mut found = Vec::new();
    let is_name = |column: &usize| sheet.heads[*column].len() <= LONGEST_NAME && !times.contains(column);
    for column in (0..sheet.heads.len()).filter(is_name) {
        let candidate = position(sheet, column, remarks)
            .or_else(|| candidate(sheet, column, convention.as_ref(), doubts));
        match candidate {
            Some(found) if says_factor(&sheet.heads[column]) => {
                doubts.retain(|doubt| doubt.column != column);
                remarks.push(format!(
                    "{:?} left out: its name says a factor, and not whether the cells are multiplied by it already; \
                     write the {} as it is.",
                    sheet.heads[column],
                    found.meaning.measured.label()
                ));
            }
            None => {
                let has_numbers =
                    sheet.column(column).iter().any(|cell| number_in(cell, sheet.decimal_comma).is_some());
                let said = if has_numbers { left_why(&sheet.heads[column]) } else { None };
                let why = said.or_else(|| {
                    let is_costly = |meaning: Meaning| {
                        matches!(meaning.measured, M::Voltage | M::Current | M::Power | M::SpeedOverGround)
                    };
                    (!crate::fold::fold(&sheet.heads[column]).contains("unit")
                        // A column of units is none of numbers.
                        && sheet.column(column).iter().any(|cell| unit_named(cell).is_none())
                        && meaning_of(&sheet.heads[column]).is_some_and(is_costly))
                    .then_some("its cells are no numbers, or of another unit")
                });
                remarks.extend(why.map(|why| format!("{:?} left out: {why}.", sheet.heads[column])));
            }
            candidate => found.extend(candidate),
        }
    }
    // `Current speed`: hers of now, or the stream's; whatever else says her speed leaves it out.
    let is_stream =
        |c: &Candidate| c.meaning.measured == M::SpeedOverGround && says_current(&sheet.heads[c.column]);
    let has_speed = found
        .iter()
        .any(|c| matches!(c.meaning.measured, M::SpeedOverGround | M::SpeedThroughWater) && !is_stream(c));
    for candidate in found.iter().filter(|c| is_stream(c)) {
        let head = &sheet.heads[candidate.column];
        if has_speed {
            doubts.retain(|doubt| doubt.column != candidate.column);
            remarks
                .push(format!("{head:?} left out: it may be a stream's, and another column is her speed."));
        } else {
            let (column, kind) = (candidate.column, DoubtKind::Stream(candidate.column));
            doubts.push(Doubt { key: format!("stream/{head}"), column, kind });
        }
    }
    found.retain(|c| !has_speed || !is_stream(c));
    // A boat speed beside one over ground is the one through the water.
    let is_ground = |c: &Candidate| {
        words(&sheet.heads[c.column]).iter().flat_map(|word| ideas(word)).any(|idea| idea == Idea::Ground)
    };
    let has_ground = found.iter().any(|c| c.meaning.measured == M::SpeedOverGround && is_ground(c));
    let has_water = found.iter().any(|c| c.meaning.measured == M::SpeedThroughWater);
    if has_ground && !has_water {
        let boats = found.iter_mut().find(|c| {
            c.meaning.measured == M::SpeedOverGround
                && !is_ground(c)
                && says_boat_speed(&sheet.heads[c.column])
        });
        if let Some(boats) = boats {
            boats.meaning.measured = M::SpeedThroughWater;
            boats.mapped.measured = M::SpeedThroughWater;
            remarks.push(format!(
                "{:?} is taken as the speed through the water: another column is the one over ground.",
                sheet.heads[boats.column]
            ));
        }
    }
    ask_whose_turns(&found, sheet, doubts);
    // A level of charge in a file without volts and amps is the phone's.
    let has_plant =
        found.iter().any(|c: &Candidate| matches!(c.meaning.measured, M::Voltage | M::Current | M::Power));
    let is_phones = |c: &Candidate| {
        c.meaning.measured == M::StateOfCharge && crate::fold::fold(&sheet.heads[c.column]).contains("level")
    };
    found.retain(|c| has_plant || !is_phones(c));
    // A mean over some time holds only where nothing says what is now.
    found.sort_by_key(|candidate| candidate.meaning.is_mean);
    let (plant, others): (Vec<Candidate>, Vec<Candidate>) =
        found.into_iter().partition(|c| matches!(c.meaning.measured, M::Voltage | M::Current | M::Power));
    // `SOG` before a speed that does not say whose it is.
    let mut others = others;
    // A direction that stands beside a course may be the wind's.
    let is_course = |c: &Candidate| {
        let said: Vec<Idea> = words(&sheet.heads[c.column]).iter().flat_map(|word| ideas(word)).collect();
        said.contains(&Idea::Course) || said.contains(&Idea::Ground)
    };
    others.sort_by_key(|c| {
        let is_vague = match c.meaning.measured {
            M::SpeedOverGround => !is_ground(c),
            M::CourseOverGround => !is_course(c),
            _ => false,
        };
        (c.meaning.is_mean, is_vague)
    });
    let mut taken = one_each(others, doubts);
    taken.extend(batteries(plant, sheet, doubts, remarks));
    if !taken.iter().any(|mapped| matches!(mapped.measured, M::Voltage | M::Power))
        && let Some(mapped) = cells_in_a_row(sheet, times)
    {
        let (column, kind) = (mapped.column, DoubtKind::Taken(vec![mapped]));
        doubts.push(Doubt { key: format!("taken/{column}"), column, kind });
    }
    taken.sort_by_key(|mapped| mapped.column);
    join_unit_doubts(doubts);
    settle_power_unit(&mut taken, sheet, doubts);
    join_steps(&mut taken, sheet, doubts);
    let is_stepped = |t: &&ColumnMapping| {
        let is_unsaid = matches!(unit_said(&sheet.heads[t.column]), UnitSaid::None);
        t.scale != 1.0 || (is_unsaid && matches!(t.unit.as_str(), "mV" | "mA"))
    };
    for mapped in taken.iter().filter(is_stepped) {
        let is_asked =
            doubts.iter().any(|d| matches!(d.kind, DoubtKind::Scale(_, column) if column == mapped.column));
        if !is_asked && !matches!(mapped.measured, M::Latitude | M::Longitude) {
            remarks.push(format!(
                "{:?} is taken in steps of {} {}: as it stands it could not be {}.",
                sheet.heads[mapped.column],
                mapped.scale,
                mapped.unit,
                mapped.measured.label()
            ));
        }
    }
    // Words beside amps that carry no sign say which way they flow.
    if let Some(words) = super::direction::column_of(sheet) {
        for mapped in taken.iter_mut().filter(|t| matches!(t.measured, M::Current | M::Power)) {
            let cells = sheet.column(mapped.column);
            let is_signed =
                cells.iter().any(|c| number_in(c, sheet.decimal_comma).is_some_and(|(n, _)| n < 0.0));
            mapped.direction = (!is_signed).then_some(words);
        }
    }
    doubts.retain(|doubt| match &doubt.kind {
        DoubtKind::Unit(_, columns) => columns.iter().any(|column| taken.iter().any(|t| t.column == *column)),
        DoubtKind::Scale(_, column) => taken.iter().any(|t| t.column == *column),
        DoubtKind::Decimals(_) => taken.iter().any(|t| t.column == doubt.column),
        _ => true,
    });
    taken
}

/// Revolutions that do not say whether they are the motor's or the shaft's, where no other column says it for them.
fn ask_whose_turns(found: &[Candidate], sheet: &Sheet, doubts: &mut Vec<Doubt>) {
    let says = |column: usize, wanted: &[Idea]| {
        words(&sheet.heads[column]).iter().flat_map(|word| ideas(word)).any(|idea| wanted.contains(&idea))
    };
    let turns = || found.iter().filter(|c| matches!(c.meaning.measured, M::MotorSpeed | M::ShaftSpeed));
    let [only] = turns().collect::<Vec<_>>()[..] else { return };
    // Beside the motor's phases stand the motor's turns.
    let is_controllers = (0..sheet.heads.len()).any(|column| {
        says(column, &[Idea::Phase]) && says(column, &[Idea::Motor]) && says(column, &[Idea::Amp])
    });
    if only.meaning.measured == M::MotorSpeed
        && !is_controllers
        && !says(only.column, &[Idea::Motor, Idea::Drive])
    {
        doubts.push(Doubt {
            key: "turns".to_owned(),
            column: only.column,
            kind: DoubtKind::Turns(only.column),
        });
    }
}

/// A column whose cells hold latitude and longitude at once.
fn position(sheet: &Sheet, column: usize, remarks: &mut Vec<String>) -> Option<Candidate> {
    let head = &sheet.heads[column];
    let cells = sheet.column(column);
    let comma = cells.iter().filter(|cell| cell.contains(',') && !cell.contains('.')).count() > 0
        && !cells.iter().any(|cell| cell.contains('.'));
    let letter_o = LetterO::of(cells.iter().copied(), &sheet.heads);
    let (order, is_untold) = order_of(head, &cells, comma, letter_o)?;
    if is_untold {
        remarks.push(format!(
            "{head:?} says neither by letters nor by its name what stands first: latitude first is taken, as ISO 6709 has it."
        ));
    }
    let mut mapped = ColumnMapping::new(column, M::Latitude, "°");
    mapped.position = Some(order);
    mapped.letter_o = letter_o;
    mapped.decimal_comma = (comma != sheet.decimal_comma).then_some(comma);
    Some(Candidate { column, meaning: meaning_of("latitude")?, mapped, values: Vec::new() })
}

fn candidate(
    sheet: &Sheet,
    column: usize,
    convention: Option<&LabelConvention>,
    doubts: &mut Vec<Doubt>,
) -> Option<Candidate> {
    let head = &sheet.heads[column];
    let cells = sheet.column(column);
    let in_cells = unit_in_cells(cells.iter().copied()).or_else(|| unit_beside(sheet, column));
    let mut meaning = convention.and_then(|convention| convention.meaning_of(head));
    if meaning.is_none() {
        // A unit in the cells says what the name leaves out.
        let said = unit_said(head);
        let with_unit = in_cells
            .filter(|_| said == UnitSaid::None)
            .map(|(unit, _)| format!("{head} [{}]", unit.symbol()));
        let label = label_of(sheet, column);
        let head = match &label {
            Some((bare, _)) => bare.clone(),
            None => short_name(sheet, head).unwrap_or(head.clone()),
        };
        meaning = meaning_of(with_unit.as_deref().filter(|_| label.is_none()).unwrap_or(&head));
        if let (Some(meaning), Some((_, letter))) = (&mut meaning, label)
            && matches!(meaning.measured, M::Voltage | M::Current | M::Power | M::StateOfCharge)
        {
            meaning.of = format!("{} {letter}", meaning.of).trim().to_owned();
        }
    }
    let meaning = meaning?;
    let measured = meaning.measured;
    let is_place = matches!(measured, M::Latitude | M::Longitude);
    let mut mapped = ColumnMapping::new(column, measured, "");
    mapped.of.clone_from(&meaning.of);
    // `4.860 kW` beside `470 W`: only cells of one unit tell what their mark parts.
    let unit_behind = |cell: &str| super::numbers::split_number(cell).map(|(_, rest)| rest.trim().to_owned());
    let marked = cells.iter().find(|cell| cell.contains(['.', ','])).and_then(|cell| unit_behind(cell));
    let alike = cells.iter().copied().filter(|cell| marked.is_none() || unit_behind(cell) == marked);
    let said = decimals_of(alike);
    let comma = match said {
        Some(Decimals::Comma) => true,
        Some(Decimals::Point) => false,
        _ => sheet.decimal_comma,
    };
    let read = |comma: bool| -> Vec<f64> {
        cells.iter().filter_map(|cell| number_in(cell, comma).map(|(number, _)| number)).collect()
    };
    let mut numbers = read(comma);
    let letter_o = if is_place {
        LetterO::of(
            sheet
                .rows
                .iter()
                .flat_map(|(_, cells)| cells.get(column..(column + 2).min(cells.len())).unwrap_or_default())
                .map(String::as_str),
            &sheet.heads,
        )
    } else {
        LetterO::East
    };
    let places = if is_place {
        cells.iter().filter(|cell| angle_of_place(cell, comma, letter_o).is_some()).count()
    } else {
        0
    };
    // Half of the cells at least are numbers; a word in some is counted when they are read.
    if 2 * numbers.len().max(places) < cells.len() || (numbers.is_empty() && places == 0) {
        return None;
    }
    // A direction that counts a few kinds is none of the compass.
    const KINDS: f64 = 10.0;
    let is_direction = || words(head).iter().flat_map(|word| ideas(word)).all(|idea| idea == Idea::Direction);
    if measured == M::CourseOverGround
        && meaning.unit.is_none()
        && is_direction()
        && numbers.iter().all(|n| n.abs() <= KINDS)
    {
        return None;
    }
    let mut decimal_comma = comma;
    if let Some(Decimals::Doubtful(mark)) = said {
        (decimal_comma, numbers) = doubtful(sheet, column, mark, &meaning, &read, doubts);
    }
    if decimal_comma != sheet.decimal_comma {
        mapped.decimal_comma = Some(decimal_comma);
    }
    if is_place {
        mapped.letter_o = letter_o;
        mapped.hemisphere = letters_beside(sheet, column, letter_o);
        let limit = if measured == M::Latitude { 90.0 } else { 180.0 };
        // Whole numbers beyond any place in degrees and minutes: ten-millionths, where one of the two shows it.
        const LONGEST_PLACE: f64 = 20_000.0;
        if places == 0 && numbers.iter().all(|n| n.fract() == 0.0 && (n.abs() > LONGEST_PLACE || *n == 0.0)) {
            if !is_in_ten_millionths(sheet) {
                return None;
            }
            mapped.scale = 1e-7;
        }
        mapped.is_degrees_minutes = places == 0
            && mapped.scale == 1.0
            // Degrees alone have three digits before the point at most.
            && (numbers.iter().any(|n| n.abs() > limit) || cells.iter().all(|cell| whole_digits(cell) >= 4))
            && numbers.iter().all(|n| n.abs() % 100.0 < 60.0);
    }
    mapped.unit = unit_of(
        sheet,
        column,
        &meaning,
        &numbers,
        in_cells,
        convention.is_some(),
        doubts,
        &mut mapped.scale,
    )?;
    if meaning.unit.is_none()
        && let Some((unit, dimension)) = in_cells
    {
        if dimension != measured.quantity().dimension() {
            return None;
        }
        mapped.unit = unit.symbol().to_owned();
    }
    let unit = measured.quantity().unit(&mapped.unit)?;
    let values = numbers.iter().map(|number| mapped.scale * unit.to_si(*number)).collect();
    Some(Candidate { column, meaning, mapped, values })
}

fn whole_digits(cell: &str) -> usize {
    cell.trim_start_matches(['-', '+']).bytes().take_while(u8::is_ascii_digit).count()
}

/// The column of letters N, S, E, W beside a position.
fn letters_beside(sheet: &Sheet, column: usize, o: LetterO) -> Option<usize> {
    [column + 1, column.wrapping_sub(1)].into_iter().find(|beside| {
        *beside < sheet.heads.len() && {
            let cells = sheet.column(*beside);
            !cells.is_empty() && cells.iter().all(|cell| hemisphere(cell, o).is_some())
        }
    })
}

/// Three digits after each mark: decimals or thousands, by what else the table does and by what can be.
fn doubtful(
    sheet: &Sheet,
    column: usize,
    mark: char,
    meaning: &Meaning,
    read: &dyn Fn(bool) -> Vec<f64>,
    doubts: &mut Vec<Doubt>,
) -> (bool, Vec<f64>) {
    let as_decimals = mark == ',';
    let is_told = (0..sheet.heads.len()).any(|other| {
        other != column
            && matches!(decimals_of(sheet.column(other).into_iter()), Some(Decimals::Comma | Decimals::Point))
            && sheet.column(other).iter().any(|cell| {
                number_in(cell, sheet.decimal_comma)
                    .is_some_and(|(_, rest)| rest.is_empty() || unit_named(rest).is_some())
            })
    });
    if is_told {
        return (sheet.decimal_comma, read(sheet.decimal_comma));
    }
    let unit = meaning.unit.or_else(|| meaning.measured.quantity().unit(usual_unit(meaning.measured)));
    let (low, high) = meaning.measured.plausible();
    let fits = |comma: bool| {
        let Some(unit) = unit else { return true };
        let middle = median(&read(comma).iter().map(|n| unit.to_si(*n)).collect::<Vec<f64>>()).unwrap_or(0.0);
        // A motor that turns less than twenty times a minute stands.
        let is_still = meaning.measured.quantity() == Quantity::RotationalSpeed && middle.abs() < 0.33;
        (low..=high).contains(&middle) && !is_still
    };
    match (fits(as_decimals), fits(!as_decimals)) {
        (true, false) => (as_decimals, read(as_decimals)),
        (false, true) => (!as_decimals, read(!as_decimals)),
        _ => {
            doubts.push(Doubt {
                key: format!("decimals/{}", sheet.heads[column]),
                column,
                kind: DoubtKind::Decimals(mark),
            });
            (as_decimals, read(as_decimals))
        }
    }
}

/// One column of each quantity; others that do not say the same are asked about.
fn one_each(found: Vec<Candidate>, doubts: &mut Vec<Doubt>) -> Vec<ColumnMapping> {
    let mut taken: Vec<Candidate> = Vec::new();
    let mut spare: Vec<ColumnMapping> = Vec::new();
    for candidate in found {
        let Some(known) = taken.iter_mut().find(|k| k.meaning.measured == candidate.meaning.measured) else {
            taken.push(candidate);
            continue;
        };
        if candidate.meaning.is_mean && !known.meaning.is_mean {
            continue;
        }
        // Which of several moves as she does shows in the samples: all are read.
        let is_asked = ask_which(known, &candidate, doubts);
        // What says its unit is worth more than what does not, and what says anything more than a blank.
        let is_better = known.meaning.unit.is_none() && candidate.meaning.unit.is_some();
        if is_better {
            let known = std::mem::replace(known, candidate);
            spare.extend(is_asked.then_some(known.mapped));
        } else {
            spare.extend(is_asked.then_some(candidate.mapped));
        }
    }
    taken.into_iter().map(|candidate| candidate.mapped).chain(spare).collect()
}

/// Whether two columns of one quantity say the same: in their middle, and where they are low and high.
pub(super) fn is_alike(one: &Candidate, other: &Candidate) -> bool {
    let zero = match one.meaning.measured.quantity() {
        Quantity::Temperature => 3.0,
        Quantity::Angle => 0.05,
        _ => 0.0,
    };
    let parts = |candidate: &Candidate| {
        let mut values = candidate.values.clone();
        values.sort_unstable_by(f64::total_cmp);
        let last = values.len().saturating_sub(1);
        [last / 10, last / 2, last - last / 10].map(|at| values.get(at).copied())
    };
    parts(one).iter().zip(parts(other)).all(|two| match two {
        (Some(a), Some(b)) => (a - b).abs() <= (ALIKE * a.abs().max(b.abs())).max(zero),
        _ => true,
    })
}

/// Two columns of one quantity that do not say the same: which is meant?
/// True where it is.
pub(super) fn ask_which(known: &Candidate, other: &Candidate, doubts: &mut Vec<Doubt>) -> bool {
    let moves = [
        M::SpeedOverGround,
        M::SpeedThroughWater,
        M::MotorSpeed,
        M::ShaftSpeed,
        M::Voltage,
        M::Current,
        M::Power,
    ];
    let is_still = || known.values.iter().chain(&other.values).all(|value| *value == 0.0);
    if (is_alike(known, other) && !is_still()) || !moves.contains(&known.meaning.measured) {
        return false;
    }
    let key = format!("which/{}", known.meaning.measured.word());
    let columns = [known.column, other.column];
    match doubts.iter_mut().find(|doubt| doubt.key == key) {
        Some(Doubt { kind: DoubtKind::Which(known), .. }) => {
            if !known.contains(&other.column) {
                known.push(other.column);
            }
        }
        _ => doubts.push(Doubt { key, column: columns[0], kind: DoubtKind::Which(columns.to_vec()) }),
    }
    true
}
