//! Why there is no PDF.

/// What keeps a sheet from becoming a PDF.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// No font has a glyph for a character.
    #[error("no font has a glyph for U+{:04X} `{character}`", *.character as u32)]
    NoGlyph {
        /// The character.
        character: char,
        /// The text it stands in.
        text: String,
    },
    /// A file that is given as a font is none.
    #[error("the font cannot be read")]
    Font,
    /// A file that is given as a logo is no PNG image.
    #[error("the logo is no PNG image: {0}")]
    Logo(String),
    /// A logo with more pixels than a letterhead has use for.
    #[error("the logo has {0} x {1} pixels")]
    LogoTooLarge(u32, u32),
    /// What the library refuses to write.
    #[error("{0}")]
    Refused(String),
}
