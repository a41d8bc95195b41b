//! The notes and rests of a lane, with the words over its entries.

use super::super::xml::Xml;
use super::layout::{LEFT, Lane, Layout, NOTE, System, WIDTH};
use super::style::{breadth, class, word};
use crate::exposition::{Entry, Exposition, Role};
use crate::line::Event;
use crate::score::Part;

/// A note at least so wide carries its name.
const NAMED: i64 = 190;
/// The size of the word over an entry, as in the style sheet.
const WORD: i64 = 140;
/// Notes are drawn a little shorter than they last, so that repeated ones stay apart.
const GAP: i64 = 14;

/// Draws what a voice plays in a system.
pub(super) fn write(xml: &mut Xml, layout: &Layout, exposition: &Exposition, system: &System, voice: usize) {
    let (part, lane) = (&exposition.score().parts()[voice], &layout.lanes[voice]);
    let entries: Vec<&Entry> = exposition.entries().iter().filter(|entry| entry.voice == voice).collect();
    write_tonics(xml, layout, exposition, system, lane);
    let mut note = 0;
    let full = part.line.extended_to(exposition.score().length());
    for event in full.as_ref().unwrap_or(&part.line).events() {
        let span = (layout.ticks(event.onset), layout.ticks(event.onset) + layout.ticks(event.duration));
        let index = note;
        note += usize::from(event.pitch.is_some());
        if span.1 <= system.span.0 || system.span.1 <= span.0 {
            continue;
        }
        let place = (layout.x(system, span.0), layout.x(system, span.1));
        match event.pitch {
            Some(_) => write_note(xml, system, lane, event, place, role_of(&entries, index)),
            None => write_rest(xml, system, lane, place),
        }
    }
    for entry in entries {
        write_entry(xml, layout, system, lane, part, entry);
    }
}

fn role_of(entries: &[&Entry], note: usize) -> Option<Role> {
    entries.iter().find(|entry| entry.notes.contains(&note)).map(|entry| entry.role)
}

/// A faint line at each tonic within the lane, named at its left end.
fn write_tonics(xml: &mut Xml, layout: &Layout, exposition: &Exposition, system: &System, lane: &Lane) {
    let tonic = exposition.score().key().tonic();
    for octave in crate::pitch::MIN_OCTAVE..=crate::pitch::MAX_OCTAVE {
        let Ok(pitch) = crate::pitch::Pitch::new(tonic, octave) else { continue };
        if !(lane.lowest..=lane.highest).contains(&pitch.height()) {
            continue;
        }
        let y = (Layout::y(system, lane, pitch.height()) + NOTE / 2).to_string();
        let end = layout.x(system, system.span.1).to_string();
        let start = LEFT.to_string();
        xml.empty("line", &[("class", "tonic"), ("x1", &start), ("x2", &end), ("y1", &y), ("y2", &y)]);
        let (x, y) = ((LEFT - 50).to_string(), (Layout::y(system, lane, pitch.height()) + 85).to_string());
        xml.text("text", &[("class", "height"), ("x", &x), ("y", &y)], &signs(&pitch.to_string()));
    }
}

fn write_rest(xml: &mut Xml, system: &System, lane: &Lane, place: (i64, i64)) {
    let middle = i32::midpoint(lane.highest, lane.lowest);
    let y = (Layout::y(system, lane, middle) + NOTE / 2).to_string();
    let (from, to) = ((place.0 + 60).to_string(), (place.1 - 50).max(place.0 + 61).to_string());
    xml.empty("line", &[("class", "rest"), ("x1", &from), ("x2", &to), ("y1", &y), ("y2", &y)]);
}

fn write_note(
    xml: &mut Xml,
    system: &System,
    lane: &Lane,
    event: Event,
    place: (i64, i64),
    role: Option<Role>,
) {
    let Some(pitch) = event.pitch else { return };
    let (y, width) = (Layout::y(system, lane, pitch.height()), (place.1 - place.0 - GAP).max(12));
    let shade = format!("note {}", class(role));
    let (x, top, wide, high) = (place.0.to_string(), y.to_string(), width.to_string(), NOTE.to_string());
    xml.open("g", &[]);
    xml.text("title", &[], &format!("{}, {} of a whole note", signs(&pitch.to_string()), event.duration));
    xml.empty(
        "rect",
        &[("class", &shade), ("x", &x), ("y", &top), ("width", &wide), ("height", &high), ("rx", "30")],
    );
    if width >= NAMED {
        let ink = format!("name on-{}", class(role));
        let (x, y) = ((place.0 + width / 2).to_string(), (y + 81).to_string());
        xml.text("text", &[("class", &ink), ("x", &x), ("y", &y)], &signs(&pitch.class().to_string()));
    }
    xml.close();
}

/// The word over an entry, drawn back from the edge of the page if it would pass it, on a line as long as the entry; where a row begins in the middle of an
/// entry, the word is repeated in brackets.
fn write_entry(xml: &mut Xml, layout: &Layout, system: &System, lane: &Lane, part: &Part, entry: &Entry) {
    let last = entry.notes.end.checked_sub(1).and_then(|last| part.line.notes().get(last));
    let span = (layout.ticks(entry.onset), last.map_or(0, |note| layout.ticks(note.end())));
    if span.1 <= system.span.0 || system.span.1 <= span.0 {
        return;
    }
    let y = system.top + lane.top + 190;
    let (from, to) = (layout.x(system, span.0), layout.x(system, span.1) - GAP);
    let start =
        if span.0 < system.span.0 { format!("M{from} {y}") } else { format!("M{from} {} V{y}", y + 45) };
    let end = if system.span.1 < span.1 { String::new() } else { format!(" V{}", y + 45) };
    let (path, shade) = (format!("{start} H{to}{end}"), format!("entry-line {}", class(Some(entry.role))));
    xml.empty("path", &[("class", &shade), ("d", &path), ("style", "fill:none")]);
    let word = if span.0 < system.span.0 {
        format!("({})", word(entry.role))
    } else {
        format!("{}, {}", word(entry.role), signs(&entry.key.to_string()))
    };
    let overflows = from + 20 + breadth(&word, WORD) > WIDTH;
    let (x, shade) = if overflows { (WIDTH - 60, "entry entry-end") } else { (from + 20, "entry") };
    let (x, y) = (x.to_string(), (y - 40).to_string());
    xml.text("text", &[("class", shade), ("x", &x), ("y", &y)], &word);
}

/// Text notation with the printer's sharps and flats.
pub(super) fn signs(text: &str) -> String {
    let Some(letter) = text.get(..1) else { return text.to_owned() };
    let rest = &text[1..];
    let end = rest.find(|c| c != '#' && c != 'b').unwrap_or(rest.len());
    let accidentals = rest[..end].replace('#', "\u{266f}").replace('b', "\u{266d}");
    format!("{letter}{accidentals}{}", &rest[end..])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn accidentals_are_printed_as_signs_and_words_left_alone() {
        assert_eq!(signs("F#4"), "F\u{266f}4");
        assert_eq!(signs("Bbb3"), "B\u{266d}\u{266d}3");
        assert_eq!(signs("Eb minor"), "E\u{266d} minor");
        assert_eq!(signs("B major"), "B major");
        assert_eq!(signs(""), "");
    }
}
