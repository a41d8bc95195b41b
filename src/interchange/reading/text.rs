//! Bytes to text: UTF-8 and UTF-16, with or without a byte order mark.

use std::borrow::Cow;

/// The text of these bytes, a copy only where it must be; `None` if they are neither UTF-8 nor UTF-16.
pub(in super::super) fn decode(bytes: &[u8]) -> Option<Cow<'_, str>> {
    match bytes {
        [0xef, 0xbb, 0xbf, rest @ ..] => utf8(rest),
        [0xff, 0xfe, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [b'<' | b'{', 0, ..] => utf16(bytes, u16::from_le_bytes),
        [0, b'<' | b'{', ..] => utf16(bytes, u16::from_be_bytes),
        _ => utf8(bytes).or_else(|| latin1(bytes)),
    }
}

fn utf8(bytes: &[u8]) -> Option<Cow<'_, str>> {
    std::str::from_utf8(bytes).ok().map(Cow::Borrowed)
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Option<Cow<'_, str>> {
    let units: Vec<u16> = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]])).collect();
    String::from_utf16(&units).ok().map(Cow::Owned)
}

/// Latin-1, if an XML declaration says so: each byte is its character.
fn latin1(bytes: &[u8]) -> Option<Cow<'_, str>> {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(100)]).to_ascii_lowercase();
    let declared = head.starts_with("<?xml") && head.contains("iso-8859-1");
    declared.then(|| bytes.iter().map(|&byte| char::from(byte)).collect::<String>().into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_read_in_every_encoding_of_the_format() {
        let text = "<a>für ♯</a>";
        let units = |of: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(of).collect::<Vec<u8>>();
        let marked = |mark: &[u8], bytes: Vec<u8>| [mark, bytes.as_slice()].concat();
        let forms = [
            text.as_bytes().to_vec(),
            marked(&[0xef, 0xbb, 0xbf], text.as_bytes().to_vec()),
            units(u16::to_le_bytes),
            units(u16::to_be_bytes),
            marked(&[0xff, 0xfe], units(u16::to_le_bytes)),
            marked(&[0xfe, 0xff], units(u16::to_be_bytes)),
        ];
        for bytes in forms {
            assert_eq!(decode(&bytes).as_deref(), Some(text), "{bytes:?}");
        }
        let latin = b"<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><a>f\xfcr</a>";
        assert!(decode(latin).unwrap().ends_with("<a>für</a>"));
    }

    #[test]
    fn bytes_that_are_no_text_are_none() {
        assert_eq!(decode(b"<a>f\xfcr</a>"), None);
        assert_eq!(decode(&[0xff, 0xfe, 0x00, 0xd8]), None);
    }
}
