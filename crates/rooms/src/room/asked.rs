//! What is asked of a room: the boat with what is tried on her, the replies to its questions, and how
//! many samples stand behind the bands.

use jiff::civil::Date;

use super::question::{Question, Reply};
use crate::boats::Loaded;
use crate::sampling::{DEFAULT_SEED, Watch};
use crate::shop::Shop;
use crate::whatif::Change;

/// Replies to a room's questions.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Replies(Vec<(&'static str, Reply)>);

impl Replies {
    /// Those among `pairs` of name and text that answer a question; a name that no question has is left
    /// out, and so is a text that is empty.
    /// # Errors
    /// The question's key, and what to write instead.
    pub fn read<'p>(
        questions: &'static [Question],
        pairs: impl Iterator<Item = (&'p str, &'p str)>,
    ) -> Result<Self, (&'static str, String)> {
        let mut replies = Self::default();
        for (name, text) in pairs.filter(|(_, text)| !text.is_empty()) {
            let Some(question) = questions.iter().find(|question| question.key == name) else { continue };
            let reply = (question.read)(text).map_err(|why| (question.key, why))?;
            replies.put(question.key, reply);
        }
        Ok(replies)
    }

    /// The same with a reply.
    #[must_use]
    pub fn with(mut self, key: &'static str, reply: Reply) -> Self {
        self.put(key, reply);
        self
    }

    /// Puts a reply in the place of an earlier one, or, where several may be given, behind it.
    pub fn put(&mut self, key: &'static str, reply: Reply) {
        let earlier = self.0.iter_mut().find(|(known, _)| *known == key).map(|(_, earlier)| earlier);
        match (earlier, reply) {
            (Some(Reply::Texts(all)), Reply::Texts(more)) => all.extend(more),
            (Some(earlier), reply) => *earlier = reply,
            (None, reply) => self.0.push((key, reply)),
        }
    }

    /// The same as if that had not been said.
    #[must_use]
    pub fn without(mut self, key: &str) -> Self {
        self.0.retain(|(known, _)| *known != key);
        self
    }

    fn get(&self, key: &str) -> Option<&Reply> {
        self.0.iter().find(|(known, _)| *known == key).map(|(_, reply)| reply)
    }

    /// Whether it was said at all.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// A number, SI.
    #[must_use]
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.get(key)? {
            Reply::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// Several numbers, SI.
    #[must_use]
    pub fn numbers(&self, key: &str) -> &[f64] {
        match self.get(key) {
            Some(Reply::Numbers(numbers)) => numbers,
            _ => &[],
        }
    }

    /// A whole number.
    #[must_use]
    pub fn whole(&self, key: &str) -> Option<u32> {
        match self.get(key)? {
            Reply::Whole(whole) => Some(*whole),
            _ => None,
        }
    }

    /// A day.
    #[must_use]
    pub fn day(&self, key: &str) -> Option<Date> {
        match self.get(key)? {
            Reply::Day(day) => Some(*day),
            _ => None,
        }
    }

    /// Words.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<&str> {
        match self.get(key)? {
            Reply::Text(text) => Some(text),
            _ => None,
        }
    }

    /// All words and lines that were said.
    pub fn said(&self) -> impl Iterator<Item = &str> {
        self.0.iter().flat_map(|(_, reply)| {
            match reply {
                Reply::Text(text) => std::slice::from_ref(text),
                Reply::Texts(texts) => texts.as_slice(),
                _ => &[],
            }
            .iter()
            .map(String::as_str)
        })
    }

    /// Several words or lines, in their order.
    #[must_use]
    pub fn texts(&self, key: &str) -> &[String] {
        match self.get(key) {
            Some(Reply::Texts(texts)) => texts,
            _ => &[],
        }
    }
}

impl Asked<'_> {
    /// Whether the sheet or picture of that key is read.
    #[must_use]
    pub fn takes(&self, key: &str) -> bool {
        self.takes.is_none_or(|taken| taken.contains(&key))
    }

    /// Her as she is kept: the boat itself where nothing is tried, or where it cannot be.
    #[must_use]
    pub fn as_kept(&self) -> &Loaded {
        self.kept.unwrap_or(self.boat)
    }
}

/// What is asked of a room.
#[derive(Debug, Clone)]
pub struct Asked<'a> {
    /// The boat, with what is tried on her.
    pub boat: &'a Loaded,
    /// Her as she is kept, where something is tried: sampled beside her.
    pub kept: Option<&'a Loaded>,
    /// What is tried on her, word by word.
    pub tried: &'a [Change],
    /// Replies to the room's questions.
    pub replies: Replies,
    /// Samples of the unsure inputs.
    pub samples: usize,
    /// Their seed.
    pub seed: u64,
    /// For pictures and a page: stations lie as close as a curve wants them, and sun and years are told
    /// where the document allows it without being asked.
    pub has_pictures: bool,
    /// Whether what would end what binds is looked for: at rest, not while a slider moves.
    pub seeks_remedy: bool,
    /// Keys of the sheets and pictures that are read, where not all are: what stands on no other may be left out.
    pub takes: Option<&'static [&'static str]>,
    /// The shop, as far as the room looks over it.
    pub shop: Option<&'a Shop>,
    /// Whether what takes long is looked for too; a page asks for it behind its first answer.
    pub is_thorough: bool,
    /// Who watches, where the work may take long.
    pub watch: Option<&'a Watch<'a>>,
}

impl<'a> Asked<'a> {
    /// `boat` as she is, without replies.
    #[must_use]
    pub fn of(boat: &'a Loaded, samples: usize) -> Self {
        Self {
            boat,
            kept: None,
            tried: &[],
            replies: Replies::default(),
            samples,
            seed: DEFAULT_SEED,
            has_pictures: false,
            seeks_remedy: false,
            takes: None,
            shop: None,
            is_thorough: true,
            watch: None,
        }
    }
}
