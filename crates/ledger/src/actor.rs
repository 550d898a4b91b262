//! Who did it, and how the program knows.

/// Who recorded an entry or an event.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Actor {
    /// The number or login of the person; may be empty where the name was only typed.
    pub id: String,
    /// The name, as it is printed. Empty in an event of a job where nobody has said yet who they are.
    pub name: String,
    /// How the program knows that it is this person.
    pub how: Identified,
}

impl Actor {
    /// Someone who typed a name, and nothing that proves it.
    pub fn typed(name: impl Into<String>) -> Self {
        Self {
            id: String::new(),
            name: name.into(),
            how: Identified::Typed,
        }
    }
}

/// How a person was identified.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Identified {
    /// By a name that anyone can type.
    Typed,
    /// By a badge that was read.
    Badge,
    /// By a number known to the person.
    Pin,
    /// By a password.
    Password,
}

impl Identified {
    /// The word that is hashed and stored.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Typed => "typed",
            Self::Badge => "badge",
            Self::Pin => "pin",
            Self::Password => "password",
        }
    }

    /// From the word that is stored.
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::Typed, Self::Badge, Self::Pin, Self::Password]
            .into_iter()
            .find(|how| how.code() == code)
    }
}
