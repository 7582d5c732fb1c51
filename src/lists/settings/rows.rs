//! The rows of the table of settings, group by group, in the order in which they are shown.
//!
//! Owns each setting's words and range. The ranges are wide enough for any shop and currency and
//! narrow enough to catch a slip of the keyboard; they are common practice, no source.

use super::table::{Group, Kind, Range, Setting};
use super::{Aim, LetterCharge, OtherQuantities, PricePoint};
use crate::length::Units;
use crate::lists::recipe::Degrees;

const PER_HOUR: bool = true;
const SHARE: Range = Range(0, 100);
/// Mark-ups, allowances and spares may be several times the whole.
const SEVERAL_TIMES: Range = Range(0, 1_000);
const SECONDS: Range = Range(0, 3_600);
const PLATEN: Range = Range(2_000, 100_000);

/// Every setting but the currency.
pub static SETTINGS: [Setting; 37] = [
    Setting {
        group: Group::Shop,
        name: "Name",
        why: "Stands on top of each quote.",
        kind: Kind::Text(|s| &mut s.shop_name),
    },
    Setting {
        group: Group::Shop,
        name: "Contact",
        why: "How a customer reaches you: telephone, mail, address.",
        kind: Kind::Text(|s| &mut s.contact),
    },
    Setting {
        group: Group::Shop,
        name: "Measures in",
        why: "Garments, platen and lines; letter heights stay in inches, as they are sold. Each field also takes “50 mm” or “2 1/2 in”.",
        kind: Kind::Choice(
            &["inches", "millimetres"],
            |s| Units::ALL.iter().position(|units| *units == s.units),
            |s, at| s.units = Units::ALL[at],
        ),
    },
    Setting {
        group: Group::Shop,
        name: "Remind of a backup after",
        why: "So many changed orders since the last backup; 0 for never.",
        kind: Kind::Whole("orders", Range(0, 10_000), |s| &mut s.backup_after),
    },
    Setting {
        group: Group::Work,
        name: "Wage",
        why: "Per hour of work, your own too.",
        kind: Kind::Money(PER_HOUR, |s| &mut s.wage_per_hour),
    },
    Setting {
        group: Group::Work,
        name: "Allowance",
        why: "Added to the time of work for breaks and hitches.",
        kind: Kind::Percent(SEVERAL_TIMES, |s| Some(&mut s.allowance)),
    },
    Setting {
        group: Group::Work,
        name: "People",
        why: "At work at the same time: a run is done sooner.",
        kind: Kind::Whole("people", Range(1, 20), |s| &mut s.people),
    },
    Setting {
        group: Group::Work,
        name: "Placing",
        why: "Per letter.",
        kind: Kind::Whole("s", SECONDS, |s| &mut s.seconds.place_letter),
    },
    Setting {
        group: Group::Work,
        name: "Loading and unloading",
        why: "Per side of a garment.",
        kind: Kind::Whole("s", SECONDS, |s| &mut s.seconds.load_side),
    },
    Setting {
        group: Group::Work,
        name: "Tacking",
        why: "Each time the press closes.",
        kind: Kind::Whole("s", SECONDS, |s| &mut s.seconds.tack),
    },
    Setting {
        group: Group::Work,
        name: "Peeling",
        why: "Each time the press has closed.",
        kind: Kind::Whole("s", SECONDS, |s| &mut s.seconds.peel),
    },
    Setting {
        group: Group::Work,
        name: "Consumables",
        why: "Per garment: cover sheets, tape, bag.",
        kind: Kind::Money(false, |s| &mut s.consumables_per_garment),
    },
    Setting {
        group: Group::Work,
        name: "Fixed per run",
        why: "Setting up, artwork, a share of the booth.",
        kind: Kind::Money(false, |s| &mut s.fixed_per_run),
    },
    Setting {
        group: Group::Work,
        name: "Spoilage",
        why: "Garments expected to be ruined.",
        kind: Kind::Percent(SHARE, |s| Some(&mut s.spoilage)),
    },
    Setting {
        group: Group::Work,
        name: "Spare letters",
        why: "Extra of each letter, rounded up.",
        kind: Kind::Percent(SEVERAL_TIMES, |s| Some(&mut s.spares.percent)),
    },
    Setting {
        group: Group::Work,
        name: "Spare letters, fixed",
        why: "So many extra of each letter.",
        kind: Kind::Whole("each", Range(0, 999), |s| &mut s.spares.each),
    },
    Setting {
        group: Group::Press,
        name: "Presses",
        why: "Closed at the same time. A venue, local code or a licensed electrician says what the circuit bears.",
        kind: Kind::Whole("presses", Range(1, 20), |s| &mut s.presses),
    },
    Setting {
        group: Group::Press,
        name: "Heat in",
        why: "How temperatures are shown. What you typed stays stored exactly.",
        kind: Kind::Choice(
            &["°F", "°C"],
            |s| Degrees::ALL.iter().position(|degrees| *degrees == s.degrees),
            |s, at| s.degrees = Degrees::ALL[at],
        ),
    },
    Setting {
        group: Group::Press,
        name: "Narrowest gap",
        why: "How close letters may stand on a line that is set closer to fit, as a share of the letter height.",
        kind: Kind::Percent(SHARE, |s| Some(&mut s.narrowest_gap)),
    },
    Setting {
        group: Group::Press,
        name: "Platen width",
        why: "Left to right, as the press maker states it.",
        kind: Kind::Measure(PLATEN, |s| &mut s.platen.width),
    },
    Setting {
        group: Group::Press,
        name: "Platen depth",
        why: "Front to back, as the press maker states it.",
        kind: Kind::Measure(PLATEN, |s| &mut s.platen.depth),
    },
    Setting {
        group: Group::Press,
        name: "Safe margin",
        why: "How far letters stay from the platen's edge, which may heat less. The press maker's instructions rule.",
        kind: Kind::Measure(Range(0, 1_500), |s| &mut s.platen.margin),
    },
    Setting {
        group: Group::Press,
        name: "Press overhead",
        why: "Per hour that the press is taken up: power, wear, room, repairs.",
        kind: Kind::Money(PER_HOUR, |s| &mut s.press_per_hour),
    },
    Setting {
        group: Group::Press,
        name: "Somebody stands by while the press is closed, so its time is paid",
        why: "Whether a closed press may be left alone is for the press maker's instructions to say.",
        kind: Kind::Tick(|s| &mut s.dwell_attended),
    },
    Setting {
        group: Group::Selling,
        name: "Price aims at",
        why: "Unless an order says otherwise.",
        kind: Kind::Choice(
            &["a margin", "a mark-up"],
            |s| match s.aim {
                Aim::Margin(_) => Some(0),
                Aim::MarkUp(_) => Some(1),
                Aim::Price(_) => None,
            },
            |s, at| match at {
                0 => s.aim = Aim::Margin(s.aim.as_margin()),
                _ => s.aim = Aim::MarkUp(s.aim.as_mark_up()),
            },
        ),
    },
    Setting {
        group: Group::Selling,
        name: "Usual margin",
        why: "Share of the price before tax that is profit.",
        kind: Kind::Percent(SHARE, |s| match &mut s.aim {
            Aim::Margin(margin) => Some(margin),
            _ => None,
        }),
    },
    Setting {
        group: Group::Selling,
        name: "Usual mark-up",
        why: "Added to the cost, as a share of it.",
        kind: Kind::Percent(SEVERAL_TIMES, |s| match &mut s.aim {
            Aim::MarkUp(mark_up) => Some(mark_up),
            _ => None,
        }),
    },
    Setting {
        group: Group::Selling,
        name: "Prices go up",
        why: "To the next figure of this kind; never down, so that no aim is missed.",
        kind: Kind::Choice(
            &[
                "to the cent",
                "next half",
                "next whole",
                "ending in .95",
                "ending in .99",
                "next multiple of 5",
            ],
            |s| PricePoint::ALL.iter().position(|point| *point == s.price_point),
            |s, at| s.price_point = PricePoint::ALL[at],
        ),
    },
    Setting {
        group: Group::Selling,
        name: "An order pays for",
        why: "Packs and sets leave letters over: the shelf keeps them at their cost, or the order pays.",
        kind: Kind::Choice(
            &["the letters it uses", "every letter bought for it"],
            |s| LetterCharge::ALL.iter().position(|charge| *charge == s.charge),
            |s, at| s.charge = LetterCharge::ALL[at],
        ),
    },
    Setting {
        group: Group::Selling,
        name: "Tax",
        why: "On top of the price; 0 where you charge none on what you sell.",
        kind: Kind::Percent(SHARE, |s| Some(&mut s.tax)),
    },
    Setting {
        group: Group::Selling,
        name: "Card fee",
        why: "Of what the customer pays, tax included.",
        kind: Kind::Percent(SHARE, |s| Some(&mut s.card_fee.percent)),
    },
    Setting {
        group: Group::Selling,
        name: "Card fee, fixed",
        why: "Per payment.",
        kind: Kind::Money(false, |s| &mut s.card_fee.fixed),
    },
    Setting {
        group: Group::Quote,
        name: "Valid for",
        why: "The last day stands on the quote; 0 says nothing of it.",
        kind: Kind::Whole("days", Range(0, 365), |s| &mut s.valid_days),
    },
    Setting {
        group: Group::Quote,
        name: "Deposit",
        why: "Share of the total that is paid with the order; 0 for none.",
        kind: Kind::Percent(SHARE, |s| Some(&mut s.deposit)),
    },
    Setting {
        group: Group::Quote,
        name: "Lead time",
        why: "How long an order takes, in your words: “about 10 working days”.",
        kind: Kind::Text(|s| &mut s.lead_time),
    },
    Setting {
        group: Group::Quote,
        name: "Terms",
        why: "What else the customer must know: payment, changes, returns, washing.",
        kind: Kind::Text(|s| &mut s.terms),
    },
    Setting {
        group: Group::Quote,
        name: "Prices at other quantities",
        why: "Whether a quote says what a garment costs in another quantity.",
        kind: Kind::Choice(
            &["not shown", "larger ones shown", "all shown"],
            |s| OtherQuantities::ALL.iter().position(|which| *which == s.other_quantities),
            |s, at| s.other_quantities = OtherQuantities::ALL[at],
        ),
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_choice_are_those_of_its_values() {
        let words = |name: &str| match SETTINGS.iter().find(|setting| setting.name == name).unwrap().kind {
            Kind::Choice(words, ..) => words,
            _ => &[],
        };
        assert_eq!(words("Measures in"), Units::ALL.map(Units::word));
        assert_eq!(words("Heat in"), Degrees::ALL.map(Degrees::mark));
        assert_eq!(words("Prices go up"), PricePoint::ALL.map(PricePoint::words));
        assert_eq!(words("An order pays for").len(), LetterCharge::ALL.len());
    }
}
