//! Letters compared as if they had no accents. Not for: what words mean.

/// Lower case without accents; what joins letters (ø, æ, ß) as it is written without them.
#[must_use]
pub(crate) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => folded.push('a'),
            'è' | 'é' | 'ê' | 'ë' => folded.push('e'),
            'ì' | 'í' | 'î' | 'ï' => folded.push('i'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => folded.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => folded.push('u'),
            'ç' => folded.push('c'),
            'ñ' | 'ń' => folded.push('n'),
            'ą' => folded.push('a'),
            'ć' => folded.push('c'),
            'ę' => folded.push('e'),
            'ł' => folded.push('l'),
            'ś' => folded.push('s'),
            'ź' | 'ż' => folded.push('z'),
            'æ' => folded.push_str("ae"),
            'œ' => folded.push_str("oe"),
            'ß' => folded.push_str("ss"),
            // Combining marks of text that was taken apart.
            '\u{300}'..='\u{36f}' => {}
            c => folded.push(c),
        }
    }
    folded
}
