//! The query of a request: names may stand several times. Not for: what they mean.

use std::convert::Infallible;

use axum::extract::FromRequestParts;
use axum::http::request::Parts;

use super::error::WebError;

/// Name and value pairs, in their order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Query(Vec<(String, String)>);

impl Query {
    /// From the text behind the question mark, or a form's body.
    pub fn parse(text: &[u8]) -> Self {
        Self(form_urlencoded::parse(text).into_owned().collect())
    }

    /// From pairs.
    pub fn of<'p>(pairs: impl Iterator<Item = (&'p str, &'p str)>) -> Self {
        Self(pairs.map(|(name, value)| (name.to_owned(), value.to_owned())).collect())
    }

    /// The first value of this name.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.iter().find(|(n, _)| n == name).map(|(_, value)| value.as_str())
    }

    /// A whole number that a form of ours always has.
    ///
    /// # Errors
    /// It is missing or no number.
    pub fn number(&self, name: &str) -> Result<u32, WebError> {
        let number = self.get(name).and_then(|text| text.parse().ok());
        number
            .ok_or_else(|| WebError::BadRequest("This form is not complete. Open the page anew.".to_owned()))
    }

    /// All values of this name.
    pub fn all<'q>(&'q self, name: &'q str) -> impl Iterator<Item = &'q str> {
        self.0.iter().filter(move |(n, _)| n == name).map(|(_, value)| value.as_str())
    }

    /// All pairs.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// The width of the picture that is asked for, px.
    pub fn width_px(&self) -> Option<f64> {
        let width = self.get("width")?.parse::<f64>().ok()?;
        width.is_finite().then(|| width.clamp(320.0, 1600.0))
    }
}

impl<S: Sync> FromRequestParts<S> for Query {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        Ok(Self::parse(parts.uri.query().unwrap_or_default().as_bytes()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_may_stand_several_times() {
        let query = Query::parse(b"set=propeller.pitch%3D11+in&set=sea.head_wind=5+kn&width=360");
        assert!(query.all("set").eq(["propeller.pitch=11 in", "sea.head_wind=5 kn"]));
        assert_eq!(query.width_px(), Some(360.0));
        assert_eq!(Query::parse(b"width=inf").width_px(), None);
    }
}
