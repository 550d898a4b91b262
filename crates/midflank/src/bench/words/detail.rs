//! What is asked of a feature, in words.

use crate::words;

/// What is asked of which features (of all that ask it where none is named): features, key, and the code of the question;
/// how an answer may look stands beside it as `code.hint`.
type Row = (&'static [&'static str], &'static str, &'static str);

const ASKED: &[Row] = &[
    (&[], "sections", "ask.sections"),
    (&["plain-diameter"], "limits", "ask.limits-plain-diameter"),
    (&["tube-wall", "bore-to-flat"], "bore", "ask.bore-tube-wall"),
    (&["tube-wall"], "limits", "ask.limits-tube-wall"),
    (&[], "outside_diameter", "ask.outside-diameter"),
    (
        &["groove-diameter", "undercut"],
        "width",
        "ask.width-groove-diameter",
    ),
    (
        &["groove-diameter", "undercut"],
        "sizes",
        "ask.sizes-groove-diameter",
    ),
    (&[], "anvil_disc", "ask.anvil-disc"),
    (&[], "spindle_disc", "ask.spindle-disc"),
    (&[], "disc_uncertainty", "ask.disc-uncertainty"),
    (&[], "groove_width", "ask.groove-width"),
    (&[], "convention", "ask.convention"),
    (&[], "shaft_diameter", "ask.shaft-diameter"),
    (&["keyseat"], "width", "ask.width-keyseat"),
    (&[], "lobes", "ask.lobes"),
    (&[], "v_angle", "ask.v-angle"),
    (&[], "v_scale", "ask.v-scale"),
    (&[], "v_readings", "ask.v-readings"),
    (&["lobed-shaft"], "limits", "ask.limits-lobed-shaft"),
    (&[], "thickness", "ask.thickness"),
    (&[], "pressure_kpa", "ask.pressure-kpa"),
    (&[], "modulus_mpa", "ask.modulus-mpa"),
    (&[], "modulus_relative_limit", "ask.modulus-relative-limit"),
    (&[], "dwell_seconds", "ask.dwell-seconds"),
    (&["soft-thickness"], "sizes", "ask.sizes-soft-thickness"),
    (&[], "sheet", "ask.sheet"),
    (&[], "wire", "ask.wire"),
    (&[], "pull.standard", "ask.pull-standard"),
    (&[], "pull.forces", "ask.pull-forces"),
    (&[], "pull.sizes", "ask.pull-sizes"),
    (&[], "compression.definition", "ask.compression-definition"),
    (
        &[],
        "compression.area_after_mm2",
        "ask.compression-area-after-mm2",
    ),
    (
        &[],
        "compression.barrel_area_mm2",
        "ask.compression-barrel-area-mm2",
    ),
    (&[], "compression.sizes", "ask.compression-sizes"),
    (
        &[],
        "outside_diameter_uncertainty",
        "ask.outside-diameter-uncertainty",
    ),
    (
        &[],
        "shaft_diameter_uncertainty",
        "ask.shaft-diameter-uncertainty",
    ),
    (&[], "width_uncertainty", "ask.width-uncertainty"),
];

/// The question, and how an answer may look.
pub fn asked(feature: &str, key: &str) -> (String, String) {
    let code = ASKED
        .iter()
        .find(|(features, of, _)| {
            *of == key && (features.is_empty() || features.contains(&feature))
        })
        .map_or("ask.other", |(.., code)| code);
    let hint = format!("{code}.hint");
    (
        words::line(code, &[]),
        words::known(&hint).unwrap_or_default().to_owned(),
    )
}

/// A choice, explained.
pub fn choice(choice: &str) -> &'static str {
    words::known(&format!("choice.{choice}")).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::details;
    use crate::job_file::NAMES;

    #[test]
    fn everything_that_is_asked_has_words() {
        for (feature, _) in NAMES {
            for detail in details::of(feature) {
                let (question, hint) = asked(feature, detail.key);
                assert!(!hint.is_empty(), "{feature} {}", detail.key);
                let other = words::line("ask.other", &[]);
                assert_ne!(question, other, "{feature} {}", detail.key);
                if let details::Kind::Choice(choices) = detail.kind {
                    for one in choices {
                        assert!(!choice(one).is_empty(), "{one}");
                    }
                }
            }
        }
    }
}
