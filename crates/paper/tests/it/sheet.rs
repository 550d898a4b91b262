//! A sheet of everything there is, and sheets that cannot be printed.

use paper::{
    Attached, Block, Column, Error, Figure, INK, Logo, Mark, Moment, Point, Running, Sheet, Size,
    Table, Tone, Words,
};

fn sheet(blocks: Vec<Block>) -> Sheet {
    Sheet {
        title: "A sheet".into(),
        language: "en".into(),
        identity: "17-9f3c".into(),
        made_at: Moment {
            year: 2026,
            month: 3,
            day: 9,
            hour: 10,
            minute: 0,
            second: 0,
        },
        program: "the tests".into(),
        authors: vec!["A. Quill".into()],
        size: Size::A4,
        on_one_page: false,
        running: Running {
            foot: "record 17".into(),
            page: Box::new(|page, of| format!("page {page} of {of}")),
        },
        blocks,
        attached: Vec::new(),
        font: None,
    }
}

fn everything() -> Sheet {
    let mut table = Table::new(vec![
        Column::text("effect"),
        Column::number("add, mm"),
        Column::text("source"),
    ]);
    for n in 0..120 {
        table.rows.push(vec![
            format!("effect {n}").into(),
            format!("{n}.000").into(),
            Words::strong("yes").and(": words that fill a line ".repeat(n % 7)),
        ]);
    }
    table.foot.push(vec!["a remark on all of it".into()]);
    table.foot.push(vec!["all".into(), "1.000".into()]);
    let figure = Figure {
        alt: "a bar".into(),
        height: 30.0,
        draw: Box::new(|width| {
            vec![
                Mark::rectangle(Point { x: 0.0, y: 0.0 }, width, 20.0, Some(INK), None),
                Mark::Circle {
                    centre: Point { x: 9.0, y: 10.0 },
                    radius: 5.0,
                    fill: Some(paper::PAPER),
                    edge: None,
                },
            ]
        }),
    };
    let facts = vec![
        ("part".into(), "Škoda, Ďuriš & Þór".into()),
        ("lot".into(), "7".into()),
    ];
    let mut sheet = sheet(vec![
        Block::Letterhead {
            lines: vec!["Bench".into(), "Street".into()],
            logo: None,
        },
        Block::Title("Report".into()),
        Block::Paragraph(Tone::Plain, "Ω, ⌀ and ≤ → ⌈x⌉. ".repeat(60).into()),
        Block::Paragraph(Tone::Caution, "Take care.".into()),
        Block::Paragraph(Tone::Framed, "Does not hold.".into()),
        Block::Paragraph(Tone::Shout(INK), "ACCEPT".into()),
        Block::Facts(3, facts),
        Block::List(vec!["one".into(), "two".into()]),
        Block::Heading("Table".into()),
        Block::Table(table),
        Block::Table(Table::of_rows(vec![("name".into(), "value".into())])),
        Block::Figure(figure),
        Block::ToSign(vec!["signed".into(), "date".into()]),
        Block::End("end".into()),
    ]);
    sheet.attached.push(Attached {
        name: "record.json".into(),
        media_type: "application/json".into(),
        description: "the record".into(),
        bytes: b"{}".to_vec(),
    });
    sheet
}

#[test]
fn everything_passes_both_validators_and_gives_the_same_bytes_twice() {
    let first = everything().to_pdf().unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));
    assert_eq!(first, everything().to_pdf().unwrap());
    let mut letter = everything();
    letter.size = Size::Letter;
    assert_ne!(first, letter.to_pdf().unwrap());
}

#[test]
fn names_in_any_script_that_a_font_has_are_printed() {
    for name in [
        "Δημήτρης",
        "Щёголев",
        "שלום 12.5 mm",
        "العربية",
        "Հայկ",
        "ქართული",
    ] {
        let words = Block::Paragraph(Tone::Plain, name.into());
        assert!(
            sheet(vec![Block::Title("x".into()), words])
                .to_pdf()
                .is_ok(),
            "{name}"
        );
    }
}

#[test]
fn a_character_without_a_glyph_is_named() {
    let words = Block::Paragraph(Tone::Plain, "bolt 螺栓".into());
    let refused = sheet(vec![Block::Title("x".into()), words]).to_pdf();
    let Err(Error::NoGlyph { character, .. }) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(character, '螺');
}

#[test]
fn a_word_wider_than_the_page_and_a_cell_higher_than_it_are_parted() {
    let mut table = Table::new(vec![Column::text("a"), Column::text("b")]);
    table
        .rows
        .push(vec!["x".repeat(900).into(), "words ".repeat(9000).into()]);
    let wide = Block::Paragraph(Tone::Plain, "m".repeat(3000).into());
    let blocks = vec![Block::Title("x".into()), wide, Block::Table(table)];
    assert!(sheet(blocks).to_pdf().is_ok());
}

#[test]
fn what_is_no_logo_and_no_font_is_refused() {
    let letterhead = |png: &[u8]| {
        let logo = Logo {
            png: png.to_vec(),
            alt: "logo".into(),
        };
        vec![Block::Letterhead {
            lines: vec!["Bench".into()],
            logo: Some(logo),
        }]
    };
    for wrong in [&b""[..], b"no image", b"\x89PNG\r\n\x1a\nbroken"] {
        let refused = sheet(letterhead(wrong)).to_pdf();
        assert!(matches!(refused, Err(Error::Logo(_))), "{refused:?}");
    }
    let mut with_font = sheet(vec![Block::Title("x".into())]);
    with_font.font = Some(b"no font".to_vec());
    assert_eq!(with_font.to_pdf(), Err(Error::Font));
}

#[test]
fn a_logo_of_every_kind_of_pixel_is_printed() {
    use png::{BitDepth, ColorType};
    for (colour, bytes) in [
        (ColorType::Grayscale, 1),
        (ColorType::GrayscaleAlpha, 2),
        (ColorType::Rgb, 3),
        (ColorType::Rgba, 4),
    ] {
        let mut image = Vec::new();
        let mut encoder = png::Encoder::new(&mut image, 2, 2);
        encoder.set_color(colour);
        encoder.set_depth(BitDepth::Eight);
        let mut writer = encoder.write_header().unwrap();
        writer.write_image_data(&vec![127; 4 * bytes]).unwrap();
        writer.finish().unwrap();
        let logo = Logo {
            png: image,
            alt: "logo".into(),
        };
        let letterhead = Block::Letterhead {
            lines: vec!["Bench".into()],
            logo: Some(logo),
        };
        let printed = sheet(vec![letterhead, Block::Title("x".into())]).to_pdf();
        assert!(printed.is_ok(), "{colour:?} {printed:?}");
    }
}

#[test]
fn what_is_a_little_too_long_for_one_page_is_set_smaller() {
    let words = || Block::Paragraph(Tone::Plain, "words ".repeat(1150).into());
    let pages = |on_one_page| {
        let mut sheet = sheet(vec![Block::Title("x".into()), words()]);
        sheet.on_one_page = on_one_page;
        let bytes = sheet.to_pdf().unwrap();
        let pages = bytes.windows(11).filter(|part| part == b"/Type/Page/");
        pages.count()
    };
    assert_eq!((pages(false), pages(true)), (2, 1));
}
