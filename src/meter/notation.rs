//! Text of meters: `3/4`, `6/8`, `2+2+3/8`.

use super::{Meter, MeterError};
use std::fmt;
use std::str::FromStr;

/// Groups and lower figure as text.
pub(super) fn figures(groups: &[u8], lower: u8) -> String {
    let groups: Vec<String> = groups.iter().map(ToString::to_string).collect();
    format!("{}/{lower}", groups.join("+"))
}

impl fmt::Display for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let plain = Self::new(self.upper(), self.lower()) == Ok(*self);
        let text =
            if plain { figures(&[self.upper()], self.lower()) } else { figures(self.groups(), self.lower()) };
        f.pad(&text)
    }
}

impl fmt::Debug for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Meter {
    type Err = MeterError;
    fn from_str(text: &str) -> Result<Self, MeterError> {
        let quoted = || text.to_owned();
        let (upper, lower) = text.split_once('/').ok_or_else(|| MeterError::Syntax { text: quoted() })?;
        let groups: Vec<&str> = upper.split('+').collect();
        if ![lower].iter().chain(&groups).all(|figure| is_figure(figure)) {
            return Err(MeterError::Syntax { text: quoted() });
        }
        // What is left can only be too large.
        let lower = lower.parse().map_err(|_| MeterError::Lower { text: quoted() })?;
        let groups: Result<Vec<u8>, _> = groups.into_iter().map(str::parse).collect();
        let groups = groups.map_err(|_| MeterError::Upper { text: quoted() })?;
        Self::grouped(&groups, lower).map_err(|error| error.quoting(quoted()))
    }
}

fn is_figure(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

crate::text_serde::serde_as_text!(Meter);

#[cfg(test)]
mod tests {
    use super::super::any_meter;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn figures_are_printed_where_they_suffice() {
        let rows = [
            ("3/4", "3/4"),
            ("12/8", "12/8"),
            ("3+2/8", "5/8"),
            ("2+3/8", "2+3/8"),
            ("2+2+3/8", "7/8"),
            ("1+1+1+1/4", "4/4"),
            ("3+3/4", "6/4"),
            ("1+1+1+1+1+1/4", "1+1+1+1+1+1/4"),
            ("03/4", "3/4"),
        ];
        for (given, printed) in rows {
            assert_eq!(given.parse::<Meter>().unwrap().to_string(), printed);
        }
    }

    #[test]
    fn refusals_say_what_is_wrong() {
        let syntax = "is not a meter: write 3/4, 6/8, or the groups of an irregular one as 2+2+3/8";
        let upper = "is not a meter: the upper figure runs from 1 to 64";
        let lower = "is not a meter: the lower figure is 1, 2, 4, 8, 16, 32 or 64";
        let pulses =
            "beats or groups in the bar, at most 16 are allowed (write larger groups, as in 3+3+2/8)";
        let rows = [
            ("", format!(r#""" {syntax}"#)),
            ("4", format!(r#""4" {syntax}"#)),
            ("4/", format!(r#""4/" {syntax}"#)),
            ("2+/8", format!(r#""2+/8" {syntax}"#)),
            ("+3/4", format!(r#""+3/4" {syntax}"#)),
            ("3/+4", format!(r#""3/+4" {syntax}"#)),
            ("-3/4", format!(r#""-3/4" {syntax}"#)),
            (" 3/4", format!(r#"" 3/4" {syntax}"#)),
            ("3/4/4", format!(r#""3/4/4" {syntax}"#)),
            ("C", format!(r#""C" {syntax}"#)),
            ("0/4", format!(r#""0/4" {upper}"#)),
            ("65/4", format!(r#""65/4" {upper}"#)),
            ("300/4", format!(r#""300/4" {upper}"#)),
            ("40+40/4", format!(r#""40+40/4" {upper}"#)),
            ("4/3", format!(r#""4/3" {lower}"#)),
            ("4/0", format!(r#""4/0" {lower}"#)),
            ("4/128", format!(r#""4/128" {lower}"#)),
            ("4/300", format!(r#""4/300" {lower}"#)),
            (
                "2+0+3/8",
                r#""2+0+3/8" is not a meter: every group holds at least 1 unit (leave the empty one out)"#
                    .to_owned(),
            ),
            ("17/8", format!(r#""17/8" has 17 {pulses}"#)),
            ("64/64", format!(r#""64/64" has 64 {pulses}"#)),
            ("63/8", format!(r#""63/8" has 21 {pulses}"#)),
        ];
        for (text, message) in rows {
            assert_eq!(text.parse::<Meter>().unwrap_err().to_string(), message);
        }
    }

    #[test]
    fn figures_by_value_are_refused_alike() {
        let message = |refused: Result<Meter, MeterError>| refused.unwrap_err().to_string();
        assert_eq!(message(Meter::new(0, 4)), r#""0/4" is not a meter: the upper figure runs from 1 to 64"#);
        assert_eq!(
            message(Meter::grouped(&[], 4)),
            r#""/4" is not a meter: the upper figure runs from 1 to 64"#
        );
        assert!(matches!(Meter::grouped(&[255; 1000], 4), Err(MeterError::Upper { .. })));
    }

    #[cfg(feature = "serde")]
    #[test]
    fn json_is_the_text_form() {
        let meter: Meter = serde_json::from_str(r#""2+3/8""#).unwrap();
        assert_eq!(serde_json::to_string(&meter).unwrap(), r#""2+3/8""#);
        assert_eq!(
            serde_json::from_str::<Meter>(r#""4/3""#).unwrap_err().to_string(),
            r#""4/3" is not a meter: the lower figure is 1, 2, 4, 8, 16, 32 or 64 at line 1 column 5"#
        );
    }

    proptest! {
        #[test]
        fn prop_parsing_inverts_printing(meter in any_meter()) {
            prop_assert_eq!(meter.to_string().parse::<Meter>(), Ok(meter));
        }

        #[test]
        fn prop_any_text_is_read_or_refused(text in "[0-9]{0,3}(\\+[0-9]{0,2}){0,20}/?[0-9]{0,3}\\PC{0,1}") {
            if let Ok(meter) = text.parse::<Meter>() {
                prop_assert_eq!(meter.to_string().parse::<Meter>(), Ok(meter));
            }
        }
    }
}
