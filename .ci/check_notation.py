"""Loads written scores with general-purpose readers and says what they make of them.

    python3 .ci/check_notation.py FOLDER

Needs the packages music21, verovio, mido, pretty_midi and musicxml; exits 1 if a file is refused,
a bar is not full, or a note hangs.
"""

import pathlib
import sys

import mido
import music21
import pretty_midi
import verovio
from musicxml.parser.parser import parse_musicxml


def faults_in_musicxml(path):
    """What is wrong with a MusicXML file: schema, engraver, length of bars."""
    try:
        parse_musicxml(str(path)).to_string()
    except Exception as error:  # the package raises a kind of its own for each element
        yield f"not valid MusicXML 4.0: {error}"
    if not verovio.toolkit().loadFile(str(path)):
        yield "the engraver refuses it"
    for part in music21.converter.parse(path).parts:
        for bar in part.getElementsByClass("Measure"):
            full = bar.barDuration.quarterLength
            if bar.number > 0 and abs(bar.duration.quarterLength - full) > 1e-9:
                yield f"{part.partName}, bar {bar.number} lasts {bar.duration.quarterLength} of {full} quarters"


def faults_in_midi(path):
    """What is wrong with a MIDI file: notes that hang or end twice, files that cannot be read."""
    sounding = {}
    for track in mido.MidiFile(path).tracks:
        for message in track:
            if message.type in ("note_on", "note_off"):
                key = (message.channel, message.note)
                begins = message.type == "note_on" and message.velocity > 0
                sounding[key] = sounding.get(key, 0) + (1 if begins else -1)
                if sounding[key] not in (0, 1):
                    yield f"channel {key[0]}, key {key[1]} begins or ends twice"
    for (channel, key), count in sounding.items():
        if count:
            yield f"channel {channel}, key {key} hangs"
    pretty_midi.PrettyMIDI(str(path))


def main(folder):
    """Checks every file of the folder."""
    checks = {".musicxml": faults_in_musicxml, ".mid": faults_in_midi}
    failed = checked = 0
    for path in sorted(pathlib.Path(folder).iterdir()):
        if path.suffix in checks:
            faults = list(checks[path.suffix](path))
            checked += 1
            failed += bool(faults)
            print(f"{path.name}: {'; '.join(faults) or 'sound'}")
    print(f"{checked - failed} passed, {failed} failed")
    return 1 if failed or not checked else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
