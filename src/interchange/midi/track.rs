//! Tracks: events with the ticks between them.

use midly::num::{u4, u7, u28};
use midly::{MetaMessage, MidiMessage, TrackEvent, TrackEventKind};

/// How hard every note is struck.
const VELOCITY: u7 = u7::new(80);

/// A track being written.
#[derive(Debug, Default)]
pub(super) struct Track<'a> {
    events: Vec<TrackEvent<'a>>,
    now: i64,
}

impl<'a> Track<'a> {
    /// A track that begins with its name, if it has one.
    pub(super) fn named(name: Option<&'a str>) -> Self {
        let mut track = Self::default();
        if let Some(name) = name {
            track.put(u28::new(0), TrackEventKind::Meta(MetaMessage::TrackName(name.as_bytes())));
        }
        track
    }

    /// Adds an event at a time in ticks; `None` if it is too far from the one before.
    pub(super) fn at(&mut self, ticks: i64, kind: TrackEventKind<'a>) -> Option<()> {
        let delta = u32::try_from(ticks - self.now).ok().and_then(u28::try_from)?;
        self.put(delta, kind);
        self.now = ticks;
        Some(())
    }

    /// Adds a note that begins and ends at these ticks.
    pub(super) fn note(&mut self, channel: u4, key: u7, from: i64, to: i64) -> Option<()> {
        let event = |message| TrackEventKind::Midi { channel, message };
        self.at(from, event(MidiMessage::NoteOn { key, vel: VELOCITY }))?;
        self.at(to, event(MidiMessage::NoteOff { key, vel: u7::new(0) }))
    }

    /// The events, with the end of the track.
    pub(super) fn finish(mut self) -> Vec<TrackEvent<'a>> {
        self.put(u28::new(0), TrackEventKind::Meta(MetaMessage::EndOfTrack));
        self.events
    }

    fn put(&mut self, delta: u28, kind: TrackEventKind<'a>) {
        self.events.push(TrackEvent { delta, kind });
    }
}
