//! Texts that are a table in another dress: `name=value` lines, topics with a payload, a table with its times across, tracks of
//! sport watches. Each becomes rows under names. Not for: what the names mean (`table`).

use std::collections::BTreeMap;
use std::io::BufRead;

use crate::LogError;
use crate::background::GivenRows;
use crate::clock::{DateOrder, parse_stamp};
use crate::unpack::whole;

/// Which dress.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Dress {
    /// `2026-06-14T10:00:00Z sog=0.63kn rpm=0`.
    NamesAndValues,
    /// `boat/gps {"speed": 0.6}` or `10:00:00 boat/gps/speed 0.6`.
    Topics,
    /// A name in front of each line, the times across.
    Across,
    /// Track points of a watch.
    Watch,
}

/// Longest such text; it stands in memory as a whole.
const LONGEST: u64 = 64 << 20;
/// Columns of a table; more are those of no boat.
const MOST_NAMES: usize = 400;

/// A line in a dress, as time and values by name; `None` where it is none.
type Worn = Option<(String, Vec<(String, String)>)>;

impl Dress {
    /// That of a text, from its first bytes.
    pub fn of(head: &[u8]) -> Option<Self> {
        const LINES: usize = 60;
        let text = String::from_utf8_lossy(head);
        let text = text.trim_start_matches('\u{feff}');
        if text.trim_start().starts_with('<') {
            return text.contains("<Trackpoint").then_some(Self::Watch);
        }
        let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).take(LINES).collect();
        // The last line of the first bytes may be cut.
        let lines = &lines[..lines.len().saturating_sub(usize::from(lines.len() > 2))];
        let most = |worn: fn(&str) -> Worn| {
            let count = lines.iter().filter(|line| worn(line).is_some()).count();
            count >= 2 && 5 * count >= 4 * lines.len()
        };
        if most(topic) {
            Some(Self::Topics)
        } else if most(names_and_values) {
            Some(Self::NamesAndValues)
        } else {
            is_across(lines).then_some(Self::Across)
        }
    }

    /// Its rows, the names first.
    /// # Errors
    /// It cannot be read, or is too long.
    pub fn rows(self, reader: Box<dyn BufRead + '_>) -> Result<GivenRows, LogError> {
        let bytes = whole(reader, LONGEST, "a text of this kind")?;
        let text = String::from_utf8_lossy(&bytes);
        let rows = match self {
            Self::NamesAndValues => under_names(&text, names_and_values),
            Self::Topics => under_names(&text, topic),
            Self::Across => turned(&text),
            Self::Watch => watch(&text),
        };
        let remark = match self {
            Self::NamesAndValues => "Each line was read as names and values.",
            Self::Topics => "Each topic was read as a column of its own.",
            Self::Across => "The times stand across: the table was turned.",
            Self::Watch => "The points of a watch were read as rows.",
        };
        Ok(GivenRows::of_one(Box::new(rows.into_iter().map(Ok)), vec![remark.to_owned()]))
    }
}

/// A table whose lines stand in quotes as a whole, that stands on a page of the web, or value by value: as a plain one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wrap {
    Quotes,
    Page,
    /// A value under a name in each object or line.
    Values,
}

impl Wrap {
    /// That of a text, from its first bytes.
    pub fn of(head: &[u8]) -> Option<Self> {
        const LINES: usize = 60;
        let text = String::from_utf8_lossy(head);
        let text = text.trim_start_matches('\u{feff}').trim_start();
        if crate::long_json::looks_like(text.as_bytes()) {
            return Some(Self::Values);
        }
        if text.starts_with('<') {
            let folded = text.to_lowercase();
            return (folded.contains("<table") && folded.contains("<tr")).then_some(Self::Page);
        }
        let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).take(LINES).collect();
        let lines = &lines[..lines.len().saturating_sub(usize::from(lines.len() > 2))];
        let quoted = lines.iter().filter(|line| unquoted(line).is_some()).count();
        (lines.len() >= 2 && 5 * quoted >= 4 * lines.len()).then_some(Self::Quotes)
    }

    /// The table in it, and what is to be said.
    /// # Errors
    /// It cannot be read, or is too long.
    pub fn off(self, reader: impl std::io::Read) -> Result<(String, &'static str), LogError> {
        let bytes = whole(reader, LONGEST, "a text of this kind")?;
        let text = String::from_utf8_lossy(&bytes);
        Ok(match self {
            Self::Quotes => (
                text.lines().map(|line| unquoted(line).unwrap_or_else(|| line.to_owned()) + "\n").collect(),
                "Each line stands in quotes as a whole: they were taken off.",
            ),
            Self::Page => (longest_table(&text), "The longest table of the page is read."),
            Self::Values => (
                crate::long_json::table(&bytes),
                "Each value stands under a name of its own: read as a long table.",
            ),
        })
    }
}

/// `"a,b,c"` without its quotes, where they hold the whole line.
fn unquoted(line: &str) -> Option<String> {
    let inner = line.trim().strip_prefix('"')?.strip_suffix('"')?;
    let bare = inner.replace("\"\"", "");
    (!bare.contains('"') && inner.contains([',', ';', '\t'])).then(|| inner.replace("\"\"", "\""))
}

/// Rows of the longest table of a page, cells parted by tabs.
fn longest_table(page: &str) -> String {
    let mut tables: Vec<String> = Vec::new();
    let mut rest = page;
    while let Some(open) = rest.find('<') {
        let text = rest[..open].replace(['\t', '\r', '\n'], " ");
        let Some(close) = rest[open..].find('>').map(|at| open + at) else { break };
        if let Some(table) = tables.last_mut() {
            *table += &plain_text(&text);
        }
        let tag = rest[open + 1..close].trim_start().to_lowercase();
        let name = tag.split([' ', '/', '\n', '\t']).find(|part| !part.is_empty()).unwrap_or_default();
        match (name, tag.starts_with('/'), tables.last_mut()) {
            ("table", false, _) => tables.push(String::new()),
            ("tr", true, Some(table)) => table.push('\n'),
            ("td" | "th", true, Some(table)) => table.push('\t'),
            _ => {}
        }
        rest = &rest[close + 1..];
    }
    tables.into_iter().max_by_key(|table| table.matches('\n').count()).unwrap_or_default()
}

/// Text of a page with the few names for letters that tables have.
fn plain_text(text: &str) -> String {
    let names =
        [("&nbsp;", " "), ("&deg;", "°"), ("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&amp;", "&")];
    names.iter().fold(text.trim().to_owned(), |text, (name, letter)| text.replace(name, letter))
}

/// A number with what stands behind it: `0.63kn` is 0.63 and kn.
fn number_and_unit(value: &str) -> Option<(&str, &str)> {
    let value = value.trim_matches(['"', '\'', ',', ';']);
    let end = value.find(|c: char| !(c.is_ascii_digit() || "+-.,eE".contains(c))).unwrap_or(value.len());
    // An e may begin a unit.
    let end = value[..end].trim_end_matches(['e', 'E']).len();
    let (number, unit) = value.split_at(end);
    number.replace(',', ".").parse::<f64>().ok()?;
    (unit.chars().count() <= 8).then_some((number, unit.trim()))
}

/// `May 17 09:12:33 boat meter[412]:`: the stamp before what else a recorder writes in front of a line.
fn leading_stamp(text: &str) -> &str {
    const MOST_WORDS: usize = 4;
    let is_stamp = |text: &str| {
        let bare = text.trim_matches(['[', ']', '(', ')']);
        bare.contains(':') && parse_stamp(bare, DateOrder::Day).is_some_and(|stamp| stamp.has_clock)
    };
    if text.split(' ').count() < 2 || is_stamp(text) {
        return text;
    }
    let ends = text.match_indices(' ').map(|(at, _)| at).take(MOST_WORDS);
    let found = ends.filter(|end| is_stamp(&text[..*end])).max();
    found.map_or(text, |end| text[..end].trim_matches(['[', ']', '(', ')']))
}

fn names_and_values(line: &str) -> Worn {
    let first = line.find('=')?;
    let front = line[..first].trim_end();
    let name_at = front.rfind([' ', '\t', ',', ';']).map_or(0, |at| at + 1);
    let time = leading_stamp(front[..name_at].trim().trim_end_matches([',', ';'])).to_owned();
    let parts = line[name_at..].split([' ', '\t', ';']).flat_map(|part| part.split(", "));
    let mut values = Vec::new();
    for part in parts.filter(|part| !part.is_empty()) {
        let (name, value) = part.split_once('=')?;
        let name = name.trim();
        let is_name = name.chars().next().is_some_and(char::is_alphabetic) && name.len() <= 60;
        if !is_name {
            return None;
        }
        if let Some((number, unit)) = number_and_unit(value) {
            let head = if unit.is_empty() { name.to_owned() } else { format!("{name} [{unit}]") };
            values.push((head, number.to_owned()));
        } else if matches!(name.to_lowercase().as_str(), "time" | "ts" | "timestamp" | "t") {
            values.push(("time".to_owned(), value.trim_matches('"').to_owned()));
        }
    }
    (values.len() >= 2).then_some((time, values))
}

/// Letters first, and a slash between names.
fn is_topic(word: &str) -> bool {
    let mut parts = word.split('/').filter(|part| !part.is_empty()).peekable();
    word.trim_start_matches('/').contains('/')
        && word.len() <= 200
        && parts.peek().is_some()
        && parts.all(|part| {
            part.chars().next().is_some_and(char::is_alphabetic)
                && part.chars().all(|c| c.is_alphanumeric() || "_-.:".contains(c))
        })
}

fn topic(line: &str) -> Worn {
    let at = line.split_whitespace().find(|word| is_topic(word))?;
    let begin = line.find(at)?;
    let mut time = line[..begin].trim().trim_end_matches([':', ',', ';']).to_owned();
    // What stands before a topic is a time or nothing.
    if !time.is_empty() && !time.starts_with(|c: char| c.is_ascii_digit() || c == '[' || c == '(') {
        return None;
    }
    let payload = line[begin + at.len()..].trim().trim_start_matches(['=', ':']).trim();
    let mut values = Vec::new();
    if payload.starts_with('{') {
        let object: serde_json::Map<String, serde_json::Value> = serde_json::from_str(payload).ok()?;
        for (key, value) in object {
            let is_time = matches!(key.to_lowercase().as_str(), "ts" | "time" | "timestamp" | "t");
            match value {
                serde_json::Value::Number(number) if is_time => time = number.to_string(),
                serde_json::Value::String(text) if is_time => time = text,
                serde_json::Value::Number(number) => values.push((format!("{at}/{key}"), number.to_string())),
                serde_json::Value::String(text) => {
                    if let Some((number, unit)) = number_and_unit(&text) {
                        values.push((format!("{at}/{key} [{unit}]").replace(" []", ""), number.to_owned()));
                    }
                }
                _ => {}
            }
        }
    } else {
        let mut words = payload.split_whitespace();
        let (number, unit) = number_and_unit(words.next()?)?;
        let unit = if unit.is_empty() { words.next().unwrap_or_default() } else { unit };
        values.push((format!("{at} [{unit}]").replace(" []", ""), number.to_owned()));
    }
    (!values.is_empty()).then_some((time.trim_matches(['[', ']', '(', ')']).to_owned(), values))
}

/// Rows under the union of all names; lines of one time are one row.
fn under_names(text: &str, worn: fn(&str) -> Worn) -> Vec<Vec<String>> {
    let mut names: Vec<String> = Vec::new();
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut found: Vec<(String, Vec<(usize, String)>)> = Vec::new();
    for (time, values) in text.lines().filter_map(worn) {
        let mut row = Vec::with_capacity(values.len());
        let mut time = time;
        for (name, value) in values {
            if name == "time" {
                time = value;
                continue;
            }
            let place = *places.entry(name.clone()).or_insert_with(|| {
                names.push(name);
                names.len() - 1
            });
            if place < MOST_NAMES {
                row.push((place, value));
            }
        }
        match found.last_mut() {
            Some(last)
                if last.0 == time && row.iter().all(|(place, _)| last.1.iter().all(|(p, _)| p != place)) =>
            {
                last.1.extend(row);
            }
            _ => found.push((time, row)),
        }
    }
    names.truncate(MOST_NAMES);
    let mut rows =
        vec![std::iter::once("time".to_owned()).chain(names.iter().cloned()).collect::<Vec<String>>()];
    rows.extend(found.into_iter().map(|(time, values)| {
        let mut row = vec![String::new(); names.len() + 1];
        row[0] = time;
        values.into_iter().for_each(|(place, value)| row[place + 1] = value);
        row
    }));
    rows
}

fn mark_of(line: &str) -> Option<char> {
    [';', '\t', ','].into_iter().find(|mark| line.matches(*mark).count() >= 8)
}

/// Few lines of many cells, the first of which is of times.
fn is_across(lines: &[&str]) -> bool {
    const MOST_LINES: usize = 40;
    let Some((first, mark)) = lines.first().and_then(|line| Some((line, mark_of(line)?))) else {
        return false;
    };
    let mut cells = first.split(mark);
    let is_named = cells.next().is_some_and(|cell| {
        matches!(
            cell.trim().trim_matches('"').to_lowercase().as_str(),
            "time" | "timestamp" | "utc" | "zeit" | "heure" | "tijd"
        )
    });
    let times = cells.clone().take(8).filter(|cell| cell.contains(':')).count();
    is_named && times >= 6 && lines.len() <= MOST_LINES
}

fn turned(text: &str) -> Vec<Vec<String>> {
    let Some(mark) = text.lines().find_map(mark_of) else { return Vec::new() };
    let lines: Vec<Vec<&str>> = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .take(MOST_NAMES)
        .map(|line| line.split(mark).map(|cell| cell.trim().trim_matches('"')).collect())
        .collect();
    let width = lines.iter().map(Vec::len).max().unwrap_or(0);
    (0..width)
        .map(|at| lines.iter().map(|line| line.get(at).copied().unwrap_or_default().to_owned()).collect())
        .collect()
}

/// Time, place and speed of each track point.
fn watch(text: &str) -> Vec<Vec<String>> {
    let inner = |point: &str, name: &str| -> String {
        let Some(open) = point.find(&format!("{name}>")) else { return String::new() };
        let value = &point[open + name.len() + 1..];
        value[..value.find('<').unwrap_or(value.len())].trim().to_owned()
    };
    let mut rows =
        vec![["time", "latitude", "longitude", "speed over ground [m/s]"].map(str::to_owned).to_vec()];
    rows.extend(text.split("<Trackpoint").skip(1).map(|point| {
        ["Time", "LatitudeDegrees", "LongitudeDegrees", "Speed"].map(|name| inner(point, name)).to_vec()
    }));
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<Vec<String>> {
        let dress = Dress::of(text.as_bytes()).unwrap_or_else(|| panic!("{text}"));
        dress
            .rows(Box::new(std::io::Cursor::new(text.to_owned())))
            .unwrap()
            .rows
            .map(Result::unwrap)
            .collect()
    }

    #[test]
    fn each_dress_is_taken_off() {
        let names = rows(
            "2026-06-14T10:00:00Z sog=0.63kn rpm=0 v=53.2V\n2026-06-14T10:00:02Z sog=0.64kn rpm=10 v=53.1V\n",
        );
        assert_eq!(names[0], ["time", "sog [kn]", "rpm", "v [V]"]);
        assert_eq!(names[2], ["2026-06-14T10:00:02Z", "0.64", "10", "53.1"]);
        let topics = rows(
            "boat/gps {\"ts\": 1781431200000, \"speed\": 0.6}\nboat/motor {\"ts\": 1781431200000, \"rpm\": 5}\n\
             boat/gps {\"ts\": 1781431202000, \"speed\": 0.7}\n",
        );
        assert_eq!(topics[0], ["time", "boat/gps/speed", "boat/motor/rpm"]);
        assert_eq!(topics[1], ["1781431200000", "0.6", "5"]);
        assert_eq!(topics[2], ["1781431202000", "0.7", ""]);
        let plain = rows(
            "10:00:00 boat/gps/speed 0.6\n10:00:00 boat/drive/voltage 53.3 V\n10:00:02 boat/gps/speed 0.7\n",
        );
        assert_eq!(plain[0], ["time", "boat/gps/speed", "boat/drive/voltage [V]"]);
        assert_eq!(plain.len(), 3);
        let times: Vec<String> = (0..9).map(|s| format!("10:00:0{s}")).collect();
        let across =
            rows(&format!("time,{}\nsog,1,2,3,4,5,6,7,8,9\nrpm,1,2,3,4,5,6,7,8,9\n", times.join(",")));
        assert_eq!(
            (across[0].clone(), across[9].clone()),
            (
                vec!["time".into(), "sog".into(), "rpm".into()],
                vec!["10:00:08".into(), "9".into(), "9".into()]
            )
        );
        let watch = rows(
            "<?xml version=\"1.0\"?><A><Trackpoint><Time>2026-06-14T10:00:00Z</Time><Position><LatitudeDegrees>54.3</LatitudeDegrees>\
             <LongitudeDegrees>10.2</LongitudeDegrees></Position><Extensions><x:Speed>1.5</x:Speed></Extensions></Trackpoint></A>",
        );
        assert_eq!(watch[1], ["2026-06-14T10:00:00Z", "54.3", "10.2", "1.5"]);
    }

    #[test]
    fn what_is_none_of_them_is_left_alone() {
        for text in [
            "time,sog,rpm\n10:00:00,1,2\n10:00:02,1,2\n",
            "$GPRMC,100000,A,5418.0,N,01012.0,E,0.6,70,140626,,*00\n",
            "weather,place=quay wind=3 1781431200000000000\nweather,place=quay wind=4 1781431202000000000\n",
            "a/b\nc/d\n",
            "",
        ] {
            assert_eq!(Dress::of(text.as_bytes()), None, "{text}");
        }
    }
}
