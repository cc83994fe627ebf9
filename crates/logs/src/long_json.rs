//! One value under a name each: JSON objects of home automation, the matrix of a metrics query, metrics as lines. Laid
//! out as a long table (`table`). Not for: objects that are rows (`json`).

use serde_json::Value;

use crate::json::Objects;
use crate::json_flat::flatten;

/// Whether the first bytes of a text are such values.
pub(crate) fn looks_like(head: &[u8]) -> bool {
    const SEEN: usize = 24;
    const LEAST: usize = 3;
    let head = head.trim_ascii_start();
    if is_matrix(head) {
        return true;
    }
    if !head.starts_with(b"{") && !head.starts_with(b"[") {
        let text = String::from_utf8_lossy(head);
        let lines = || text.lines().filter(|line| !line.starts_with('#')).take(SEEN);
        return lines().count() >= LEAST && lines().all(|line| metric(line).is_some());
    }
    let mut objects = Objects::new(head);
    let (mut names, mut seen) = (Vec::new(), 0);
    while seen < SEEN
        && let Ok(Some(object)) = objects.next()
    {
        let Some(one) = object.bytes.ok().and_then(one_of) else { return false };
        names.extend(one.name);
        seen += 1;
    }
    // Later objects of one name may not tell it again.
    seen >= LEAST && 2 * names.len() >= seen.min(2)
}

/// One value.
#[derive(Default)]
struct One {
    time: Option<String>,
    name: Option<String>,
    value: Option<String>,
    unit: Option<String>,
}

/// That of an object; `None` where it is none, or holds more.
fn one_of(object: &[u8]) -> Option<One> {
    const MOST: usize = 8;
    let (mut one, mut heads) = (One::default(), Vec::new());
    let is_read = flatten(object, &mut |name, value| {
        let (outer, name) = name.rsplit_once('.').map_or((false, name), |(_, name)| (true, name));
        heads.extend((!outer).then(|| name.to_owned()));
        let place = match name {
            "entity_id" | "name" | "signal" | "channel" | "metric" | "key" if !outer => &mut one.name,
            "state" | "value" | "val" if !outer => &mut one.value,
            "last_changed" | "last_updated" | "time" | "timestamp" | "ts" if !outer => &mut one.time,
            "unit_of_measurement" | "unit" | "units" => &mut one.unit,
            _ => return,
        };
        place.get_or_insert_with(|| value.to_owned());
    });
    (is_read && heads.len() <= MOST && one.value.is_some() && one.time.is_some()).then_some(one)
}

fn is_matrix(head: &[u8]) -> bool {
    let has = |text: &[u8]| head.windows(text.len()).take(4096).any(|part| part == text);
    head.starts_with(b"{") && has(b"\"result\"") && has(b"\"metric\"") && has(b"\"values\"")
}

/// `battery_volts{bank="traction"} 51.2 1795615385000`: time, name and value.
fn metric(line: &str) -> Option<(&str, String, &str)> {
    let (front, rest) = match line.find('{') {
        Some(open) => {
            let close = line.rfind('}').filter(|close| *close > open)?;
            (&line[..close + 1], &line[close + 1..])
        }
        None => line.split_at(line.find(' ')?),
    };
    let mut words = rest.split_whitespace();
    let (value, time) = (words.next()?, words.next()?);
    let (name, labels) = front.split_once('{').unwrap_or((front, ""));
    let is_name =
        name.contains('_') && name.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b':'));
    (is_name && words.next().is_none() && value.parse::<f64>().is_ok() && time.parse::<u64>().is_ok()).then(
        || {
            let labels = labels.trim_end_matches('}').split(',').filter_map(|label| label.split_once('='));
            (time, labelled(name, labels.map(|(key, value)| (key, value.trim_matches('"')))), value)
        },
    )
}

/// A name with the labels that say which of several.
fn labelled<'a>(name: &str, labels: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let said = labels.filter(|(key, _)| !matches!(key.trim(), "__name__" | "instance" | "job"));
    said.map(|(_, value)| value).chain([name]).collect::<Vec<&str>>().join(" ")
}

/// The long table of such a text.
pub(crate) fn table(bytes: &[u8]) -> String {
    let mut rows = vec!["time,name,value,unit".to_owned()];
    let quoted = |text: &str| text.replace('"', "\"\"");
    let mut put = |time: &str, name: &str, value: &str, unit: &str| {
        rows.push(format!(
            "\"{}\",\"{}\",\"{}\",\"{}\"",
            quoted(time),
            quoted(name),
            quoted(value),
            quoted(unit)
        ));
    };
    if is_matrix(bytes.trim_ascii_start()) {
        let all: Value = serde_json::from_slice(bytes).unwrap_or_default();
        let text = |value: &Value| value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        let result = all.pointer("/data/result").or_else(|| all.get("result")).and_then(Value::as_array);
        for series in result.into_iter().flatten() {
            let labels = series.get("metric").and_then(Value::as_object);
            let name =
                labels.and_then(|labels| labels.get("__name__")).and_then(Value::as_str).unwrap_or_default();
            let said =
                labels.into_iter().flatten().filter_map(|(key, value)| Some((key.as_str(), value.as_str()?)));
            let name = labelled(name, said);
            for pair in series.get("values").and_then(Value::as_array).into_iter().flatten() {
                if let (Some(time), Some(value)) = (pair.get(0), pair.get(1)) {
                    put(&text(time), &name, &text(value), "");
                }
            }
        }
    } else if bytes.trim_ascii_start().starts_with(b"{") || bytes.trim_ascii_start().starts_with(b"[") {
        let mut objects = Objects::new(bytes);
        let (mut name, mut unit) = (String::new(), String::new());
        while let Ok(Some(object)) = objects.next() {
            let Some(one) = object.bytes.ok().and_then(one_of) else { continue };
            if let Some(its) = one.name {
                (name, unit) = (its, one.unit.unwrap_or_default());
            }
            put(&one.time.unwrap_or_default(), &name, &one.value.unwrap_or_default(), &unit);
        }
    } else {
        let text = String::from_utf8_lossy(bytes);
        for (time, name, value) in text.lines().filter_map(metric) {
            put(time, &name, value, "");
        }
    }
    // Series stand one behind the other: all names are to stand among the first rows.
    rows[1..].sort_by(|a, b| a.split(',').next().cmp(&b.split(',').next()));
    rows.push(String::new());
    rows.join("\n")
}
