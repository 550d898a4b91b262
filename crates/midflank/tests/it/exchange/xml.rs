//! Documents of XML as the tests see them.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// An element; names without their prefix.
#[derive(Clone, Debug, Default)]
pub struct Node {
    pub name: String,
    pub attributes: Vec<(String, String)>,
    pub text: String,
    pub children: Vec<Node>,
}

impl Node {
    pub fn parse(document: &str) -> Self {
        let mut reader = Reader::from_str(document);
        reader.config_mut().trim_text(true);
        let mut open = vec![Self::default()];
        loop {
            match reader.read_event().unwrap() {
                Event::Start(start) => open.push(Self::begun(&start)),
                Event::Empty(start) => open.last_mut().unwrap().children.push(Self::begun(&start)),
                Event::End(_) => {
                    let done = open.pop().unwrap();
                    open.last_mut().unwrap().children.push(done);
                }
                Event::Text(text) => {
                    open.last_mut().unwrap().text += &text;
                }
                Event::GeneralRef(reference) => {
                    let character = match &*reference {
                        "amp" => "&",
                        "lt" => "<",
                        "gt" => ">",
                        "quot" => "\"",
                        "apos" => "'",
                        other => panic!("&{other};"),
                    };
                    open.last_mut().unwrap().text += character;
                }
                Event::Eof => break,
                _ => {}
            }
        }
        open.pop().unwrap().children.pop().unwrap()
    }

    fn begun(start: &BytesStart) -> Self {
        let attributes = start.attributes().map(|attribute| {
            let attribute = attribute.unwrap();
            let value = attribute
                .normalized_value(quick_xml::XmlVersion::Implicit1_0)
                .unwrap();
            (attribute.key.as_ref().to_owned(), value.into_owned())
        });
        Self {
            name: start.local_name().as_ref().to_owned(),
            attributes: attributes.collect(),
            ..Self::default()
        }
    }

    pub fn attribute(&self, name: &str) -> Option<&str> {
        let mut all = self.attributes.iter();
        all.find(|(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }

    /// This element and all in it.
    pub fn all(&self) -> Vec<&Self> {
        let mut all = vec![self];
        all.extend(self.children.iter().flat_map(Self::all));
        all
    }

    /// All elements of a name.
    pub fn named(&self, name: &str) -> Vec<&Self> {
        self.all()
            .into_iter()
            .filter(|node| node.name == name)
            .collect()
    }

    /// The one element of a name.
    pub fn one(&self, name: &str) -> &Self {
        let all = self.named(name);
        assert_eq!(all.len(), 1, "{name}");
        all[0]
    }

    /// The value of an attribute element that is a child of this one's `Attributes`.
    pub fn told(&self, name: &str) -> Option<&str> {
        let list = self
            .children
            .iter()
            .find(|child| child.name == "Attributes")?;
        let mut all = list.children.iter();
        all.find(|one| one.attribute("name") == Some(name))?
            .attribute("value")
    }
}
