//! The guide as a page, held against the product that it tells of and against the guide as plain text:
//! the same words in both, nothing of a kit that becomes markup, and a sheet whose file `trial` reads.

use crate::support::illustrated::illustrated;
use crate::support::shell::{self, preset, presets};
use netlead::assembly::{Eye, Fit, Step};
use netlead::check::Outcome;
use netlead::output::guide;
use netlead::output::kit::{Product, bill, fits, sentences, troubles};
use netlead::trial::{self, Direction, Reading};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

/// Every preset, made once.
fn all() -> &'static [(String, Arc<Product>)] {
    static ALL: OnceLock<Vec<(String, Arc<Product>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let names = presets().into_par_iter();
        names
            .map(|name| (name.clone(), illustrated(&preset(&name))))
            .collect()
    })
}

fn of(name: &str) -> &'static Product {
    let found = all().iter().find(|(preset, _)| preset == name);
    &found.unwrap().1
}

fn page(product: &Product) -> String {
    guide::page(product).expect("a product with pictures has a page")
}

/// An element's tag: whether it opens or ends one, or both, and its name and attributes.
struct Tag<'a> {
    ends: bool,
    closed: bool,
    name: &'a str,
    rest: &'a str,
}

/// A page cut into tags and what stands between them.
fn cut(page: &str) -> Vec<(Option<Tag<'_>>, &str)> {
    let mut pieces = Vec::new();
    let mut rest = page;
    while let Some((before, after)) = rest.split_once('<') {
        pieces.push((None, before));
        let (tag, next) = after.split_once('>').expect("a tag that ends");
        let ends = tag.starts_with('/');
        let inner = tag.trim_start_matches('/').trim_end_matches('/');
        let name = inner.split([' ', '\n']).next().unwrap();
        let closed = tag.ends_with('/');
        let rest_of_tag = &inner[name.len()..];
        pieces.push((
            Some(Tag {
                ends,
                closed,
                name,
                rest: rest_of_tag,
            }),
            "",
        ));
        rest = next;
        // What stands in these is no markup up to their end.
        if !ends && (name == "style" || name == "script") {
            let end = rest.find(&format!("</{name}")).expect("an end");
            rest = &rest[end..];
        }
    }
    pieces.push((None, rest));
    pieces
}

/// The letters that a page shows, its pictures left out, runs of blanks as one.
fn shown(page: &str) -> String {
    let mut letters = String::new();
    let mut inside = 0;
    let mut head = false;
    for (tag, text) in cut(page) {
        match tag {
            // What may be chosen is no sentence.
            Some(tag) if ["svg", "select"].contains(&tag.name) && !tag.closed => {
                inside = if tag.ends { inside - 1 } else { inside + 1 };
            }
            Some(tag) if tag.name == "head" => head = !tag.ends,
            Some(tag) => {
                let within_a_line = ["a", "code", "strong", "em"].contains(&tag.name);
                if !within_a_line {
                    letters.push(' ');
                }
            }
            None if inside == 0 && !head => letters.push_str(text),
            None => {}
        }
    }
    let letters = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&amp;", "&"),
    ]
    .iter()
    .fold(letters, |text, (escaped, letter)| {
        text.replace(escaped, letter)
    });
    words(&letters)
}

/// Words of Markdown without its marks.
fn unmarked(text: &str) -> String {
    words(
        &text
            .replace('\\', "")
            .replace("**", "")
            .replace("*Mend:*", "Mend:")
            .replace("*Why", "Why"),
    )
}

/// One blank between words, and no backticks.
fn words(text: &str) -> String {
    let text = text.replace('`', "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Values of an attribute in all tags of a page.
fn values<'a>(page: &'a str, attribute: &str) -> Vec<&'a str> {
    let start = format!(" {attribute}=\"");
    let tags = cut(page).into_iter().filter_map(|(tag, _)| tag);
    let found = tags.filter_map(|tag| {
        let (_, after) = tag.rest.split_once(&start)?;
        after.split('"').next()
    });
    found.collect()
}

#[test]
fn every_section_stands_in_its_order_in_every_preset() {
    for (name, product) in all() {
        let page = page(product);
        let order = [
            "cautions",
            "to-print",
            "tools",
            "printing",
            "beds",
            "putting-together",
            "what-it-does",
            "motion",
            "force",
            "fits",
            "play",
            "pins",
            "taking-apart",
            "running-in",
            "troubles",
            "trial",
        ];
        let mut from = 0;
        for id in order {
            let heading = format!("<section id=\"{id}\"");
            let at = page[from..].find(&heading);
            from += at.unwrap_or_else(|| panic!("{name}: {id}"));
        }
        let contents = page.find("<nav").unwrap();
        assert!(page.find("<h1>").unwrap() < contents && contents < page.find("<main").unwrap());
    }
}

#[test]
fn what_opens_ends_and_headings_go_down_by_one() {
    // The HTML standard's elements without an end, as far as the page has them.
    const VOID: [&str; 4] = ["meta", "input", "br", "!DOCTYPE"];
    for (name, product) in all() {
        let page = page(product);
        let mut open: Vec<&str> = Vec::new();
        let mut level = 0;
        for (tag, _) in cut(&page) {
            let Some(tag) = tag else { continue };
            if tag.closed || VOID.contains(&tag.name) {
                continue;
            }
            if tag.ends {
                assert_eq!(open.pop(), Some(tag.name), "{name}");
                continue;
            }
            open.push(tag.name);
            let heading = tag
                .name
                .strip_prefix('h')
                .and_then(|level| level.parse::<u32>().ok());
            if let Some(heading) = heading {
                assert!(heading <= level + 1, "{name}: h{heading} below h{level}");
                level = heading;
            }
        }
        assert!(open.is_empty(), "{name}: {open:?}");
        let one = |tag: &str| assert_eq!(page.matches(tag).count(), 1, "{name}: {tag}");
        ["<h1>", "<main", "<header>", "<nav", "<html lang=\"en\">"]
            .into_iter()
            .for_each(one);
    }
}

#[test]
fn no_id_stands_twice_and_every_link_leads_somewhere() {
    for (name, product) in all() {
        let page = page(product);
        let ids = values(&page, "id");
        let once: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(once.len(), ids.len(), "{name}");
        // Pictures hold their ground in themselves.
        let mut links = values(&page, "href");
        links.retain(|to| !to.starts_with("data:image/"));
        assert!(links.len() > 15, "{name}");
        for to in links.into_iter().chain(values(&page, "aria-labelledby")) {
            assert!(once.contains(to.trim_start_matches('#')), "{name}: {to}");
        }
    }
}

#[test]
fn a_page_loads_nothing_and_names_no_address() {
    for (name, product) in all() {
        let page = page(product).replace("http://www.w3.org/2000/svg", "");
        let page = page.replace("http://www.w3.org/1999/xlink", "");
        assert!(
            !page.contains("http:") && !page.contains("https:"),
            "{name}"
        );
        assert!(
            !page.contains("url(") && !page.contains("@import"),
            "{name}"
        );
        assert!(page.contains("default-src &#39;none&#39;"), "{name}");
        let sources = values(&page, "src");
        assert!(
            sources.iter().all(|source| source.starts_with("data:")),
            "{name}"
        );
        assert!(page.len() < 4 << 20, "{name}: {} bytes", page.len());
    }
}

#[test]
fn parts_steps_marks_checks_and_cautions_are_told_in_both_forms_in_the_same_words() {
    for (name, product) in all() {
        let [page, plain] = [shown(&page(product)), unmarked(&guide::text(product))];
        let said = |told: &str| {
            let told = words(told);
            assert!(page.contains(&told), "{name}, page: {told}\n{page}");
            assert!(plain.contains(&told), "{name}, text: {told}\n{plain}");
        };
        let told = product.kit.told();
        let rows = bill::rows(product).into_iter();
        // The bill has the signal word in the line.
        for row in rows.filter(|row| row.kind != bill::Kind::Caution) {
            [
                &row.called,
                &row.description,
                &row.mark,
                &row.print_note,
                &row.sunk,
            ]
            .into_iter()
            .for_each(|words| said(words));
            bill::size(&row, told)
                .into_iter()
                .for_each(|size| said(&size));
            bill::weight(&row)
                .into_iter()
                .for_each(|weight| said(&weight));
            row.file.iter().for_each(|file| said(file));
        }
        for (place, step) in product.design.steps.iter().enumerate() {
            let shows = step.shows.as_deref().unwrap_or_default();
            said(step.text.strip_suffix(shows).expect("it shows at the end"));
            said(shows);
            said(step.reason.trim_end_matches('.'));
            sentences::pressing(product, place)
                .iter()
                .for_each(|caution| said(&caution.text));
        }
        for caution in sentences::cautions(product) {
            said(&caution.text);
        }
        for finding in product.open_findings() {
            said(&finding.message);
            if finding.outcome != Outcome::Waived {
                finding.mend.iter().for_each(|mend| said(mend));
            }
        }
        for row in fits::rows(product) {
            [&row.joint, &row.wanted, &row.drawn, &row.printed]
                .into_iter()
                .for_each(|words| said(words));
        }
        for (_, value) in sentences::motion(product) {
            said(&value);
        }
        for trouble in troubles::troubles(product) {
            trouble
                .told(&product.design.assembly)
                .iter()
                .for_each(|line| said(line));
        }
        said(fits::BASIS);
    }
}

/// Whether a step puts a pin where it is pressed.
fn presses(product: &Product, step: &Step) -> bool {
    let joints = product.design.assembly.joints.iter();
    let mut pressed = joints.filter(|joint| joint.fit == Fit::Press);
    pressed.any(|joint| {
        joint
            .between
            .iter()
            .all(|piece| step.pieces.contains(piece))
    })
}

#[test]
fn a_step_that_presses_pins_warns_before_its_words_and_no_other_does() {
    for (name, product) in all() {
        let page = page(product);
        let mut warned = 0;
        for (number, step) in (1..).zip(&product.design.steps) {
            let start = page
                .find(&format!("<section id=\"step-{number}\""))
                .unwrap();
            let part = page[start..].split("</section>").next().unwrap();
            let warning = part.find("WARNING");
            assert_eq!(warning.is_some(), presses(product, step), "{name} {number}");
            let orders = part.find("class=\"orders\"").unwrap();
            assert!(warning.is_none_or(|at| at < orders), "{name} {number}");
            warned += usize::from(warning.is_some());
        }
        assert!(warned >= 1, "{name}");
        // A keeper that a spring presses out is told where its pins go in, and only there.
        let sprung = page.split("<section id=\"step-").skip(1);
        let sprung = sprung.filter(|part| {
            part.split("</section>")
                .next()
                .unwrap()
                .contains("A spring presses")
        });
        let sprung = sprung.count();
        let has_spring = product.design.members.preload.is_some();
        assert_eq!(sprung, usize::from(has_spring), "{name}");
    }
}

#[test]
fn an_eye_is_drawn_where_a_turn_is_told_and_looks_at_what_the_words_say() {
    let mut heads = BTreeSet::new();
    for (name, product) in all() {
        for step in &product.design.steps {
            let told = step.text.contains("clockwise");
            assert_eq!(step.eye.is_some(), told, "{name}: {}", step.text);
            let Some(eye) = step.eye else { continue };
            heads.insert(eye.words());
            for (at, _) in step.text.match_indices("seen from ") {
                let after = step.text[at + "seen from ".len()..].trim_start();
                assert!(
                    after.starts_with(eye.words()),
                    "{name}: {eye:?}: {}",
                    step.text
                );
            }
        }
        let page = page(product);
        let parts = page.split("<section ").skip(1);
        let opening = page.split("<nav").next().unwrap();
        for part in parts.chain([opening]) {
            let words = shown(part.split("</section").next().unwrap());
            let has_eye = part.contains("class=\"eye\"");
            // Marks and checks name no way to turn by hand.
            assert!(has_eye || !words.contains("lockwise"), "{name}: {words}");
        }
    }
    let all = [Eye::DriveHead, Eye::SlottedHead, Eye::Sleeve].map(Eye::words);
    assert_eq!(
        heads,
        BTreeSet::from(all),
        "no preset shows every place of the eye"
    );
}

#[test]
fn every_item_of_the_drawing_is_in_the_lists_with_its_picture() {
    for (name, product) in all() {
        let page = page(product);
        let lists = page.split("<section id=\"tools\"").next().unwrap();
        let lists = lists.split("<section id=\"to-print\"").nth(1).unwrap();
        let items = product.design.assembly.item_numbers();
        let fasteners = product.design.fasteners.len();
        for number in 1..=items.len() + fasteners {
            let cell = format!("data-label=\"item\">{number}</td>");
            assert_eq!(lists.matches(&cell).count(), 1, "{name}: {number}");
        }
        assert_eq!(
            lists.matches("class=\"paper\"").count(),
            items.len(),
            "{name}"
        );
        // Every piece of every bed is one of the bill's.
        let job = product.job.as_ref().unwrap();
        let on_beds: usize = job
            .beds
            .iter()
            .flat_map(|bed| &bed.pieces)
            .map(|(_, count)| count)
            .sum();
        let rows = bill::rows(product);
        let printed = rows.iter().filter(|row| row.kind == bill::Kind::Printed);
        assert_eq!(
            on_beds,
            printed.map(|row| row.quantity).sum::<usize>(),
            "{name}"
        );
    }
}

/// A name as only somebody writes who means harm: markup, a quote, a letter that turns the reading direction.
const HOSTILE: &str = "</script></style><img src=x onerror=alert(1)>\" onload='x' \u{202e}`b`";

#[test]
fn a_hostile_name_stays_text() {
    let mut product = of("desk-stage").clone();
    let harmless = page(&product);
    product.kit.name = HOSTILE.into();
    product.kit.waivers = vec![("wall".into(), HOSTILE.into())];
    let page = page(&product);
    assert!(!page.contains("<img") && !page.contains('\u{202e}'));
    assert!(!page.contains("onload='"));
    assert!(page.contains("&lt;img src=x onerror=alert(1)&gt;"));
    // A section for the waiver, and no element more.
    let more = cut(&page).len() - cut(&harmless).len();
    let section = page.split("<section id=\"waived\"").nth(1).unwrap();
    let section = cut(section.split("</section>").next().unwrap()).len();
    assert!(
        more <= section + 12,
        "{more} pieces more, {section} of them the waiver's"
    );
    let scripts = |page: &str| {
        let cut = cut(page);
        let scripts = cut.iter().filter_map(|(tag, _)| tag.as_ref());
        scripts.filter(|tag| tag.name == "script").count()
    };
    assert_eq!(scripts(&page), scripts(&harmless));
}

#[test]
fn an_inch_guide_says_inches_first_on_the_page_too() {
    let inch: Vec<&(String, Arc<Product>)> = all()
        .iter()
        .filter(|(_, product)| product.kit.inches)
        .collect();
    assert!(!inch.is_empty());
    for (name, product) in inch {
        let page = shown(&page(product));
        for (place, _) in page.match_indices(" mm") {
            let before: String = page[..place].chars().rev().take(60).collect();
            // Read from the back: a bracket opens before it closes, or it is a setting of the printer.
            let open = before.find('(').unwrap_or(usize::MAX);
            let closed = before.find(')').unwrap_or(usize::MAX);
            let setting = before.contains("= reyal") || before.contains("= enil");
            assert!(
                open < closed || setting,
                "{name}: {}",
                &page[place.saturating_sub(60)..place + 3]
            );
        }
    }
}

#[test]
fn without_pictures_there_is_no_page_and_the_text_says_the_same() {
    let room = shell::room();
    std::fs::write(room.path().join("kit.toml"), preset("desk-stage")).unwrap();
    shell::done(room.path(), &["make", "kit.toml", "--out", "with"]);
    shell::done(
        room.path(),
        &["make", "kit.toml", "--out", "without", "--no-pictures"],
    );
    let read = |file: &str| std::fs::read_to_string(room.path().join(file)).unwrap();
    assert!(room.path().join("with/guide.html").is_file());
    assert!(!room.path().join("without/guide.html").exists());
    let told = |folder: &str| {
        let text = read(&format!("{folder}/guide.md"));
        let lines = text.lines().filter(|line| !line.contains("`guide.html`"));
        lines.map(String::from).collect::<Vec<_>>()
    };
    assert_eq!(told("with"), told("without"));
    let mut bare = of("desk-stage").clone();
    bare.album = None;
    assert_eq!(guide::page(&bare), None);
}

#[test]
fn the_file_of_the_sheet_is_one_that_trial_reads_and_its_rows_are_the_sheets() {
    for (name, product) in all() {
        let page = page(product);
        let (_, file) = page.split_once("<pre class=\"file\">").unwrap();
        let file = file.split("</pre>").next().unwrap().replace("&quot;", "\"");
        let boxes = page.split("<table class=\"rows\"").nth(1).unwrap();
        let boxes = boxes
            .split("</table>")
            .next()
            .unwrap()
            .matches("<input")
            .count();
        assert!(guide::text(product).contains(&file), "{name}: {file}");
        // What a hand writes: the travel of a good screw, with the play of a way back.
        let lead = product.motion.net_lead;
        let (mut rows, mut written) = (0, String::new());
        for line in file.lines() {
            let row = line.trim_start().strip_prefix('[');
            let Some(row) = row else {
                let line = match line.starts_with("reading") {
                    true => "reading = \"travel\"".into(),
                    false => line.replace("____", "0.001"),
                };
                written += &(line + "\n");
                continue;
            };
            rows += 1;
            let turns: f64 = row.split(',').next().unwrap().parse().unwrap();
            let play = if line.contains("\"back\"") { 0.1 } else { 0.0 };
            let read = (lead * turns).as_mm() + play;
            let read = if product.kit.inches {
                read / 25.4
            } else {
                read
            };
            written += &line.replace("____", &format!("{read:.4}"));
            written.push('\n');
        }
        assert_eq!(rows, boxes, "{name}");
        let measured =
            trial::read(&written).unwrap_or_else(|faults| panic!("{written}: {faults:?}"));
        assert_eq!(measured.rows.len(), rows, "{name}");
        assert_eq!(measured.reading, Reading::Travel);
        let back = measured
            .rows
            .iter()
            .filter(|row| row.direction == Direction::Back)
            .count();
        assert!(back >= 1 && back < rows, "{name}");
        let fit = trial::fit(&measured).expect("a lead");
        let off = (fit.lead.value - lead.as_mm()).abs();
        assert!(
            off < 0.01 * lead.as_mm(),
            "{name}: {} for {lead:?}",
            fit.lead.value
        );
        assert!(fit.lost.is_some(), "{name}: the rows tell no lost motion");
    }
}

#[test]
fn test_pieces_and_trials_have_pages_with_the_words_of_their_texts() {
    let room = shell::room();
    std::fs::write(room.path().join("kit.toml"), preset("desk-stage")).unwrap();
    let measured = std::fs::read_to_string(shell::project("examples/measured.toml")).unwrap();
    std::fs::write(room.path().join("measured.toml"), measured).unwrap();
    shell::done(room.path(), &["coupon", "kit.toml", "--out", "coupons"]);
    shell::done(
        room.path(),
        &["coupon", "kit.toml", "--break", "--out", "broken"],
    );
    shell::done(
        room.path(),
        &["trial", "kit.toml", "measured.toml", "--out", "trial"],
    );
    for (folder, name, least) in [
        ("coupons", "coupon", 20),
        ("broken", "coupon", 15),
        ("trial", "trial", 15),
    ] {
        let read = |ending: &str| {
            let file = room.path().join(folder).join(format!("{name}.{ending}"));
            std::fs::read_to_string(file).unwrap()
        };
        let (page, plain) = (read("html"), read("md"));
        let said = shown(&page);
        let mut told = 0;
        for line in plain.lines() {
            let picture =
                line.starts_with("![") || line.starts_with("|--") || line.starts_with("```");
            let line = line.trim_start_matches(['#', '-', ' ', '|']);
            for cell in line.split(" | ").filter(|_| !picture) {
                let cell = unmarked(cell);
                let cell = cell.trim_matches(['|', ' ']);
                // Names and values stand in elements of their own.
                for part in cell.splitn(2, ": ") {
                    assert!(said.contains(part), "{folder}: {part}\n{said}");
                    told += 1;
                }
            }
        }
        assert!(told > least, "{folder}: {told}");
        assert!(
            !page
                .replace("http://www.w3.org/2000/svg", "")
                .contains("http:"),
            "{folder}"
        );
        let ids = values(&page, "id");
        assert_eq!(
            ids.iter().collect::<BTreeSet<_>>().len(),
            ids.len(),
            "{folder}"
        );
    }
}
