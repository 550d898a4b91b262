//! Text of which some stands out.

/// Text in pieces, each plain or strong.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Words(Vec<(bool, String)>);

impl Words {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Text that stands out.
    pub fn strong(text: impl Into<String>) -> Self {
        Self::new().and_strong(text)
    }

    /// With more text.
    #[must_use]
    pub fn and(mut self, text: impl Into<String>) -> Self {
        self.0.push((false, text.into()));
        self
    }

    /// With more text that stands out.
    #[must_use]
    pub fn and_strong(mut self, text: impl Into<String>) -> Self {
        self.0.push((true, text.into()));
        self
    }

    /// Each piece, and whether it stands out.
    pub fn pieces(&self) -> impl Iterator<Item = (bool, &str)> {
        self.0.iter().map(|(strong, text)| (*strong, text.as_str()))
    }

    /// The text alone.
    pub fn text(&self) -> String {
        self.0.iter().map(|(_, text)| text.as_str()).collect()
    }

    /// Whether there is no text.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|(_, text)| text.is_empty())
    }

    /// All of it standing out.
    pub(crate) fn all_strong(&self) -> Self {
        Self::strong(self.text())
    }
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self(vec![(false, text)])
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}
