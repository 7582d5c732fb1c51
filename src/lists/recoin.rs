//! The lists in another currency: the same figures in its minor units.
//!
//! Prices are whole minor units, and currencies differ in how many make one unit; so the prices
//! are counted anew, and "2.50" stays "2.50". Owns which prices there are. Never converts by a
//! rate, and touches no setting: the amounts there are kept as figures, not as minor units.

use super::Lists;
use crate::money::{Below, Cents, Currency, RecoinError};
use std::fmt;

/// Why the prices cannot be taken over into another currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stuck {
    /// What is in the way.
    pub why: RecoinError,
    /// How many prices it concerns.
    pub prices: usize,
    /// What the first of them is for.
    pub first: String,
    /// Its figure in the old currency.
    pub figure: String,
    /// The code of the new currency.
    pub to: String,
}

impl fmt::Display for Stuck {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { why, prices, first, figure, to } = self;
        let (count, such) = if *prices == 1 {
            ("1 price".to_owned(), "it is")
        } else {
            (format!("{prices} prices"), "such as")
        };
        match why {
            RecoinError::TooFine => {
                write!(
                    f,
                    "{count} cannot be written in {to}, {such} {figure} for {first}: change or round them first"
                )
            }
            RecoinError::TooLarge => {
                write!(f, "{count} would be too large, {such} {figure} for {first}: lower them first")
            }
        }
    }
}

impl std::error::Error for Stuck {}

/// A price that is rounded on its way into another currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rounded {
    /// What it is for.
    pub what: String,
    /// Its figure in the old currency.
    pub old: String,
    /// Its figure in the new one.
    pub new: String,
}

impl Lists {
    /// The same figures in another currency.
    ///
    /// # Errors
    /// The prices that cannot be written in it, all of them counted and the first one named.
    pub fn recoined(&self, from: &Currency, to: &Currency, below: Below) -> Result<Self, Stuck> {
        let mut lists = self.clone();
        let mut stuck: Option<Stuck> = None;
        lists.each_price(&mut |what, price| match (price.recoined(from, to, below), &mut stuck) {
            (Ok(there), _) => *price = there,
            (Err(why), Some(stuck)) => stuck.prices += usize::from(stuck.why == why),
            (Err(why), None) => {
                let (figure, to) = (from.plain(*price), to.code().to_owned());
                stuck = Some(Stuck { why, prices: 1, first: what.to_owned(), figure, to });
            }
        });
        for supplier in &mut lists.suppliers {
            // Of steps that rounding made one, the last counts, as it did just above it.
            supplier.freight.reverse();
            supplier.freight.dedup_by_key(|step| step.from);
            supplier.freight.reverse();
        }
        stuck.map_or(Ok(lists), Err)
    }

    /// The prices whose figure would be another one in the new currency, were they rounded.
    ///
    /// ```
    /// use lettertally::{lists::demo, money::Currency};
    /// let yen = Currency::of_code("JPY").unwrap();
    /// let rounded = demo::lists().rounded(&Currency::usd(), &yen);
    /// let first = rounded.iter().find(|price| price.what.ends_with("single piece")).unwrap();
    /// assert_eq!((first.old.as_str(), first.new.as_str()), ("0.55", "1"));
    /// ```
    pub fn rounded(&self, from: &Currency, to: &Currency) -> Vec<Rounded> {
        let mut all = Vec::new();
        self.clone().each_price(&mut |what, price| {
            if let Ok(new) = price.recoined(from, to, Below::Round)
                && new.money(to) != price.money(from)
            {
                all.push(Rounded { what: what.to_owned(), old: from.plain(*price), new: to.plain(new) });
            }
        });
        all
    }

    /// Every price with what it is for.
    fn each_price(&mut self, seen: &mut dyn FnMut(&str, &mut Cents)) {
        for supplier in &mut self.suppliers {
            seen(&format!("the order minimum of {}", supplier.name), &mut supplier.minimum);
            for step in &mut supplier.freight {
                seen(&format!("a freight step of {}", supplier.name), &mut step.from);
                seen(&format!("the freight of {}", supplier.name), &mut step.cost);
            }
        }
        for offer in &mut self.offers {
            let finish = self.finishes.iter().find(|finish| finish.id == offer.finish);
            let finish = finish.map_or(offer.finish.as_str(), |finish| &finish.name);
            let what = format!("{} {finish}, {}", offer.height, offer.way_name());
            seen(&what, &mut offer.price);
            for step in &mut offer.breaks {
                seen(&format!("{what}, from {}", step.from), &mut step.price);
            }
        }
        for blank in &mut self.blanks {
            for size in &mut blank.sizes {
                seen(&format!("{} {}", blank.name, size.name), &mut size.price);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lists::{Break, FreightStep, demo};
    use proptest::prelude::*;

    fn currency(code: &str) -> Currency {
        Currency::of_code(code).unwrap()
    }

    /// Every price as it is written in a currency.
    fn figures(lists: &Lists, currency: &Currency) -> Vec<String> {
        let mut figures = Vec::new();
        lists.clone().each_price(&mut |_, price| figures.push(currency.plain(*price)));
        figures
    }

    /// The demo's lists with freight, an order minimum and a break.
    fn full() -> Lists {
        let mut lists = demo::lists();
        lists.suppliers[0].minimum = Cents::new(1_000);
        lists.suppliers[0].freight = vec![FreightStep { from: Cents::ZERO, cost: Cents::new(850) }];
        lists.offers[0].breaks = vec![Break { from: 50, price: Cents::new(250) }];
        lists
    }

    // Minor units by ISO 4217, as the crate `iso_currency` keeps them: USD 2, JPY 0, KWD 3.
    #[test]
    fn figures_stay_what_they_are_from_dollars_to_yen_to_dinars() {
        let [usd, jpy, kwd] = ["USD", "JPY", "KWD"].map(currency);
        let mut lists = full();
        let stuck = lists.recoined(&usd, &jpy, Below::Refuse).unwrap_err();
        assert_eq!((stuck.why, stuck.figure.as_str()), (RecoinError::TooFine, "8.50"));
        assert!(
            stuck
                .to_string()
                .contains("prices cannot be written in JPY, such as 8.50 for the freight of Quill")
        );

        let dinars = lists.recoined(&usd, &kwd, Below::Refuse).unwrap();
        assert_eq!(dinars.offers[0].breaks[0].price, Cents::new(2_500));
        assert!(figures(&dinars, &kwd).contains(&"2.500".to_owned()));
        assert_eq!(dinars.recoined(&kwd, &usd, Below::Refuse).unwrap(), lists);

        lists.each_price(&mut |_, price| *price = Cents::new(price.minor().div_euclid(100) * 100));
        let yen = lists.recoined(&usd, &jpy, Below::Refuse).unwrap();
        assert_eq!(yen.suppliers[0].minimum, Cents::new(10));
        let dinars = yen.recoined(&jpy, &kwd, Below::Refuse).unwrap();
        assert_eq!(dinars.suppliers[0].minimum, Cents::new(10_000));
        assert_eq!(dinars.recoined(&kwd, &usd, Below::Refuse).unwrap(), lists);
    }

    #[test]
    fn a_part_below_the_minor_unit_is_rounded_only_when_asked_to() {
        let [usd, jpy] = ["USD", "JPY"].map(currency);
        let mut lists = full();
        lists.suppliers[0].freight = [(1_010, 900), (1_040, 450)]
            .map(|(from, cost)| FreightStep { from: Cents::new(from), cost: Cents::new(cost) })
            .to_vec();
        let yen = lists.recoined(&usd, &jpy, Below::Round).unwrap();
        assert_eq!(yen.offers[0].breaks[0].price, Cents::new(3), "half away from zero");
        let (shown, all) = (lists.rounded(&usd, &jpy), figures(&lists, &usd));
        assert_eq!(shown.len(), all.iter().filter(|figure| !figure.ends_with(".00")).count());
        let of_the_break = shown.iter().find(|price| price.what.ends_with("single piece, from 50")).unwrap();
        assert_eq!((of_the_break.old.as_str(), of_the_break.new.as_str()), ("2.50", "3"));
        assert_eq!(yen.rounded(&jpy, &usd), []);
        assert_eq!(yen.suppliers[0].freight, [FreightStep { from: Cents::new(10), cost: Cents::new(5) }]);
    }

    #[test]
    fn a_figure_that_would_be_too_large_is_named() {
        let [jpy, kwd] = ["JPY", "KWD"].map(currency);
        let mut lists = full();
        lists.blanks[0].sizes[0].price = Cents::new(10_000_001);
        let stuck = lists.recoined(&jpy, &kwd, Below::Round).unwrap_err();
        assert_eq!(
            stuck.to_string(),
            "1 price would be too large, it is 10000001 for club tee, navy S: lower them first"
        );
    }

    proptest! {
        #[test]
        fn between_any_two_currencies_a_figure_stays_or_is_refused(
            minor in 0_i64..1_000_000_000,
            codes in prop::sample::subsequence(vec!["USD", "JPY", "KWD", "CLF", "EUR"], 2),
        ) {
            let [from, to] = [codes[0], codes[1]].map(currency);
            for (from, to) in [(&from, &to), (&to, &from)] {
                match Cents::new(minor).recoined(from, to, Below::Refuse) {
                    Ok(there) => prop_assert_eq!(there.money(to), Cents::new(minor).money(from)),
                    Err(RecoinError::TooFine) => prop_assert!(to.digits() < from.digits()),
                    Err(RecoinError::TooLarge) => prop_assert!(minor > 10_000_000),
                }
            }
        }
    }
}
