//! The picture: page, systems, lanes, bar lines, codettas and the signs of findings.

use super::super::xml::Xml;
use super::error::PictureError;
use super::layout::{LEFT, Layout, SYSTEM_HEAD, System, WIDTH};
use super::{foot, notes, style};
use crate::exposition::Exposition;
use crate::rules::Finding;

/// Draws an exposition as an SVG document, with the findings of a review if there are any.
///
/// # Errors
/// If it has too many bars.
pub fn write(exposition: &Exposition, findings: &[Finding]) -> Result<String, PictureError> {
    let layout = Layout::of(exposition.score())?;
    let height = layout.foot() + foot::height(findings);
    let mut xml = Xml::new();
    open_page(&mut xml, height);
    style::write(&mut xml);
    xml.empty("rect", &[("class", "paper"), ("width", &WIDTH.to_string()), ("height", &height.to_string())]);
    write_head(&mut xml, exposition);
    for system in &layout.systems {
        write_field(&mut xml, &layout, exposition, system);
        write_findings(&mut xml, &layout, findings, system);
        write_voices(&mut xml, &layout, exposition, system);
    }
    foot::write(&mut xml, exposition, findings, layout.foot());
    Ok(xml.finish())
}

fn open_page(xml: &mut Xml, height: i64) {
    let (width, pixels, view) = (WIDTH / 10, height / 10, format!("0 0 {WIDTH} {height}"));
    xml.open(
        "svg",
        &[
            ("xmlns", "http://www.w3.org/2000/svg"),
            ("width", &width.to_string()),
            ("height", &pixels.to_string()),
            ("viewBox", &view),
            ("role", "img"),
        ],
    );
}

fn write_head(xml: &mut Xml, exposition: &Exposition) {
    let score = exposition.score();
    let title = exposition.subject().title().unwrap_or("Exposition");
    xml.text("title", &[], title);
    let size = style::fitted(title, 300, WIDTH - 600);
    xml.text("text", &[("class", "title"), ("x", "300"), ("y", "480"), ("style", &size)], title);
    let key = notes::signs(&score.key().to_string());
    let kind = format!("{} answer", exposition.answer().kind().name());
    let line = format!("{key}, {}, {} voices, {kind}", score.meter(), score.parts().len());
    xml.text("text", &[("class", "subtitle"), ("x", "300"), ("y", "740")], &line);
}

/// The field of a system, before any note: lanes, codettas, bar lines.
fn write_field(xml: &mut Xml, layout: &Layout, exposition: &Exposition, system: &System) {
    let end = layout.x(system, system.span.1);
    for lane in &layout.lanes {
        let (y, width) = ((system.top + lane.top).to_string(), (end - LEFT).to_string());
        let (x, height) = (LEFT.to_string(), lane.height.to_string());
        xml.empty("rect", &[("class", "lane"), ("x", &x), ("y", &y), ("width", &width), ("height", &height)]);
    }
    write_codettas(xml, layout, exposition, system);
    write_bar_lines(xml, layout, exposition, system);
}

fn write_voices(xml: &mut Xml, layout: &Layout, exposition: &Exposition, system: &System) {
    for (voice, part) in exposition.score().parts().iter().enumerate() {
        let lane = layout.lanes[voice];
        let (x, y) = ((LEFT - 330).to_string(), (system.top + lane.top + lane.height / 2 + 50).to_string());
        let (name, size) = (part.voice.name(), style::fitted(part.voice.name(), 190, LEFT - 400));
        xml.text("text", &[("class", "voice"), ("x", &x), ("y", &y), ("style", &size)], name);
        notes::write(xml, layout, exposition, system, voice);
    }
}

fn write_codettas(xml: &mut Xml, layout: &Layout, exposition: &Exposition, system: &System) {
    for link in exposition.codettas() {
        let span = (layout.ticks(link.onset), layout.ticks(link.end));
        if span.1 <= system.span.0 || system.span.1 <= span.0 {
            continue;
        }
        let (from, to) = (layout.x(system, span.0), layout.x(system, span.1));
        let (top, bottom) = (system.top + SYSTEM_HEAD - 190, layout.bottom(system));
        let (x, y) = (from.to_string(), top.to_string());
        let (width, height) = ((to - from).to_string(), (bottom - top).to_string());
        xml.empty(
            "rect",
            &[("class", "codetta"), ("x", &x), ("y", &y), ("width", &width), ("height", &height)],
        );
        let (x, y) = ((from + 260).to_string(), (top + 140).to_string());
        xml.text("text", &[("class", "codetta-name"), ("x", &x), ("y", &y)], "Codetta");
    }
}

fn write_bar_lines(xml: &mut Xml, layout: &Layout, exposition: &Exposition, system: &System) {
    let (first, last) = system.bars;
    for number in first..=last {
        let line = layout.bar_line(number);
        let is_end = number == last;
        let closes = is_end && layout.systems.last() == Some(system);
        write_line(xml, layout, system, if closes { "end" } else { "bar" }, line);
        if is_end {
            continue;
        }
        if number > 0 {
            let (x, y) = ((layout.x(system, line) + 30).to_string(), (system.top + 210).to_string());
            let meters = exposition.score().meters();
            let meter = meters.of_bar(number);
            let changes = number > 1 && meter != meters.of_bar(number - 1);
            let text = if changes { format!("{number} ({meter})") } else { number.to_string() };
            xml.text("text", &[("class", "number"), ("x", &x), ("y", &y)], &text);
            for (pulse, _) in meter.pulses().skip(1) {
                write_line(xml, layout, system, "beat", line + layout.ticks(pulse));
            }
        }
    }
}

fn write_line(xml: &mut Xml, layout: &Layout, system: &System, class: &str, ticks: i64) {
    let span = (system.top + SYSTEM_HEAD, layout.bottom(system));
    write_vertical(xml, class, layout.x(system, ticks), span);
}

fn write_vertical(xml: &mut Xml, class: &str, x: i64, span: (i64, i64)) {
    let (x, from, to) = (x.to_string(), span.0.to_string(), span.1.to_string());
    xml.empty("line", &[("class", class), ("x1", &x), ("x2", &x), ("y1", &from), ("y2", &to)]);
}

/// A broken line through the voices of a finding down to its sign; signs at one place stand side
/// by side.
fn write_findings(xml: &mut Xml, layout: &Layout, findings: &[Finding], system: &System) {
    let mut free = i64::MIN;
    let mut ordered: Vec<(usize, &Finding)> = findings.iter().enumerate().collect();
    ordered.sort_by_key(|(_, finding)| finding.place.onset);
    for (index, finding) in ordered {
        let ticks = layout.ticks(finding.place.onset);
        if ticks < system.span.0 || system.span.1 <= ticks {
            continue;
        }
        let x = layout.x(system, ticks);
        let sign = x.max(free);
        free = sign + 240;
        let bottom = layout.bottom(system);
        let lanes = || finding.voices.iter().filter_map(|&voice| layout.lanes.get(voice));
        let top = lanes().map(|lane| lane.top).min().unwrap_or(SYSTEM_HEAD);
        let low = lanes().map(|lane| lane.top + lane.height).max().unwrap_or(SYSTEM_HEAD);
        write_vertical(xml, "lead", x, (system.top + low, bottom + 95));
        write_vertical(xml, "mark", x, (system.top + top, system.top + low));
        foot::write_sign(xml, index, finding, (sign, bottom + 200));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interchange::fixture;
    use crate::score::Score;
    use quick_xml::Reader;
    use quick_xml::events::Event;

    fn count(text: &str, part: &str) -> usize {
        text.matches(part).count()
    }

    #[test]
    fn picture_is_well_formed() {
        let text = write(&fixture::exposition(), &[fixture::finding()]).unwrap();
        let mut reader = Reader::from_str(&text);
        reader.config_mut().check_end_names = true;
        while reader.read_event().unwrap() != Event::Eof {}
        assert!(text.contains(r#"viewBox="0 0 12000 "#));
    }

    #[test]
    fn every_note_has_the_shade_of_its_role() {
        let exposition = fixture::exposition();
        let text = write(&exposition, &[]).unwrap();
        let notes = |shade: &str| count(&text, &format!(r#"class="note {shade}""#)) - 1;
        assert_eq!(
            [notes("subject"), notes("answer"), notes("countersubject"), notes("free")],
            [22, 11, 16, 12]
        );
    }

    #[test]
    fn entries_codettas_voices_and_bars_are_named() {
        let text = write(&fixture::exposition(), &[]).unwrap();
        for name in [
            ">Subject, D minor</text>",
            ">Answer, A minor</text>",
            ">Codetta</text>",
            ">Soprano</text>",
            ">Bass</text>",
            ">7</text>",
            ">D minor, 4/4, 3 voices, tonal answer</text>",
        ] {
            assert!(text.contains(name), "{name}");
        }
    }

    #[test]
    fn changed_meter_stands_beside_the_number_of_its_bar_and_moves_the_bar_lines() {
        let mut exposition = fixture::exposition();
        let score = exposition.score();
        let meters = score.meters().clone().with_change(3, "6/8".parse().unwrap()).unwrap();
        exposition.score = Score::over(score.key(), meters, score.parts().to_vec()).unwrap();
        let text = write(&exposition, &[]).unwrap();
        assert!(text.contains(">2</text>") && text.contains(">3 (6/8)</text>") && text.contains(">4</text>"));
        let layout = Layout::of(exposition.score()).unwrap();
        let lines = [1, 2, 3, 4, 5].map(|bar| layout.bar_line(bar));
        let time = |text: &str| layout.ticks(text.parse().unwrap());
        assert_eq!(lines, ["0", "1", "2", "11/4", "7/2"].map(time));
    }

    #[test]
    fn finding_is_a_numbered_sign_with_its_text() {
        let text = write(&fixture::exposition(), &[fixture::finding()]).unwrap();
        assert_eq!(count(&text, r#"class="sign fault""#), 2);
        assert!(text.contains("Fault at bar 3, beat 2: Soprano and Alto move in parallel fifths</title>"));
        assert_eq!(count(&text, r#"class="mark""#), 1);
    }

    #[test]
    fn signs_stand_at_their_onsets_whatever_their_order() {
        let exposition = fixture::exposition();
        let at = |onset: &str| {
            let place = exposition.score().place(onset.parse().unwrap()).unwrap();
            Finding { place, ..fixture::finding() }
        };
        let text = write(&exposition, &[at("3"), at("1"), at("3")]).unwrap();
        let places = text.split("class=\"sign fault\" cx=\"").skip(1);
        let places: Vec<i64> =
            places.take(3).map(|s| s.split('"').next().unwrap().parse().unwrap()).collect();
        let layout = Layout::of(exposition.score()).unwrap();
        let x = |onset: &str| layout.x(&layout.systems[0], layout.ticks(onset.parse().unwrap()));
        assert_eq!(places, [x("1"), x("3"), x("3") + 240]);
    }

    #[test]
    fn title_is_escaped() {
        let mut exposition = fixture::exposition();
        exposition.subject = exposition.subject.with_title("<Bach> & \"sons\"");
        let text = write(&exposition, &[]).unwrap();
        assert!(text.contains("&lt;Bach&gt; &amp; "));
        assert!(!text.contains("<Bach>"));
    }

    #[test]
    fn too_many_bars_are_refused() {
        let mut exposition = fixture::exposition();
        exposition.score = fixture::score("C major", "1/4", "0", &["C4:1000"]);
        let error = write(&exposition, &[]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "4000 bars are too many for a picture: at most 1000 (draw a shorter passage)"
        );
        assert_eq!(error.code(), "svg-bars");
    }
}
