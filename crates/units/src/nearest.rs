//! The word that was most likely meant.

/// The candidate nearest to `word` by single-letter changes (swapped neighbours count as one), when
/// it is near enough to be meant: within a third of the word's length, at least one.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed: Vec<char> = word.to_lowercase().chars().take(60).collect();
    let allowed = (typed.len() / 3).max(1);
    candidates
        .into_iter()
        .filter(|candidate| !candidate.is_empty())
        .map(|candidate| (distance(&typed, &candidate.to_lowercase().chars().collect::<Vec<_>>()), candidate))
        .filter(|(steps, candidate)| *steps <= allowed && *steps < candidate.chars().count())
        .min_by_key(|(steps, candidate)| (*steps, !starts_alike(word, candidate)))
        .map(|(_, candidate)| candidate)
}

/// True when both begin with the same letter: the first letter is seldom the wrong one.
fn starts_alike(a: &str, b: &str) -> bool {
    let first = |word: &str| word.chars().next().map(|c| c.to_lowercase().to_string());
    first(a) == first(b)
}

/// Edit distance with insertions, deletions, substitutions and swapped neighbours.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let substitution = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = substitution.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before_last[j - 2] + 1);
            }
        }
        before_last = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}
