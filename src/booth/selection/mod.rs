//! Which of the waiting orders the shelf can make today: the most of them, or the most profit.
//!
//! Owns an exact integer programme: each order is made whole or not at all, and no piece is used
//! more often than it lies there. [`Search`] works a slice at a time, so that a page stays alive;
//! it has an answer at once, says by how much another could be better, and ends with a proof. It
//! also asks what more of each scarce piece would bring. Knows nothing of an order but what it
//! takes and earns.

mod relaxed;
mod tree;

use crate::book::goods::{Goods, Item};
use std::collections::BTreeMap;
use tree::{Asked, Tree};

/// What the choice is to make most of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Most {
    /// Orders; of equal numbers the more profit, as far as a little more search finds it.
    Orders,
    /// Profit.
    Profit,
}

/// An order that waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waiting {
    /// What it takes from the shelf.
    pub need: Goods,
    /// What it earns, in minor units; below nothing where it loses money.
    pub profit: i64,
}

/// The best choice.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choice {
    /// The orders that are made, by their place in the list.
    pub made: Vec<usize>,
    /// Whether it is proved that nothing is better.
    pub is_proved: bool,
    /// By how much another choice could be better at the very most: orders or minor units of
    /// profit, whichever was asked for; nothing where it is proved.
    pub gap: i64,
    /// Pieces that hold orders back, those that would help most first.
    pub bottlenecks: Vec<Bottleneck>,
}

/// A piece of which more would let more orders be made, or better ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bottleneck {
    /// The piece.
    pub item: Item,
    /// How many more all waiting orders together take than lie there.
    pub short: u32,
    /// How many more orders could be made with all that are short of this piece alone.
    pub orders: i64,
    /// How much more profit that would be, in minor units.
    pub profit: i64,
}

/// The most work of [`choose`], in places of the search looked at.
const WORK: u32 = 20_000;
/// So much work goes into the choice before it is asked what more of the pieces would bring.
const FIRST: u32 = 500;
/// The most work for each question of what more of one piece would bring, and for the profit of
/// equally many orders.
const ASIDE: u32 = 200;

/// Chooses the orders, and says what holds the others back.
///
/// ```
/// use lettertally::booth::selection::{Most, Waiting, choose};
/// use lettertally::{book::goods::Goods, glyph::GlyphCounts, lists::demo};
/// let family = demo::lists().families().remove(0);
/// let goods = |text| {
///     let mut goods = Goods::default();
///     goods.add_letters(&family, &GlyphCounts::of_text(text), 1);
///     goods
/// };
/// let waiting = |text, profit| Waiting { need: goods(text), profit };
/// let orders = [waiting("ANNA", 900), waiting("AL", 500), waiting("AN", 300)];
/// let choice = choose(&orders, &goods("AANNL"), Most::Orders);
/// assert_eq!(choice.made, [1, 2]);
/// assert_eq!(choose(&orders, &goods("AANNL"), Most::Profit).made, [0]);
/// ```
pub fn choose(orders: &[Waiting], shelf: &Goods, most: Most) -> Choice {
    let mut search = Search::new(orders.to_vec(), shelf.clone(), most);
    search.work(WORK);
    search.choice()
}

/// The choice in slices.
pub struct Search {
    orders: Vec<Waiting>,
    shelf: Goods,
    most: Most,
    main: Question,
    /// Pieces to ask about, and how many more of each there would have to be.
    to_ask: BTreeMap<Item, u32>,
    /// What is and was asked about more of a piece, the latest last.
    aside: Vec<(Item, u32, Question)>,
    worked: u32,
}

impl Search {
    /// Among these orders, with these goods on the shelf.
    pub fn new(orders: Vec<Waiting>, shelf: Goods, most: Most) -> Self {
        let main = Question::new(&orders, &shelf, most, u32::MAX);
        let to_ask = scarce(&orders, &shelf);
        Self { orders, shelf, most, main, to_ask, aside: Vec::new(), worked: 0 }
    }

    /// Whether the choice is proved and every question is answered.
    pub fn is_done(&self) -> bool {
        let is_asked = self.aside.last().is_none_or(|(.., question)| question.is_done());
        self.main.is_done() && self.to_ask.is_empty() && is_asked
    }

    /// Looks at so many more places of the search, or goes on until done.
    pub fn work(&mut self, places: u32) {
        let mut left = places;
        while left > 0 && !self.is_done() {
            let worked = left - self.work_on_one(left);
            self.worked = self.worked.saturating_add(worked);
            left -= worked;
        }
    }

    /// Works on what comes next; what is left of the work.
    fn work_on_one(&mut self, places: u32) -> u32 {
        if self.worked < FIRST && !self.main.is_done() {
            let allowed = places.min(FIRST - self.worked);
            return places - allowed + self.main.work(allowed);
        }
        match self.question_aside() {
            Some(question) => question.work(places),
            None => self.main.work(places),
        }
    }

    /// The question about more of a piece that is open, or the next one.
    fn question_aside(&mut self) -> Option<&mut Question> {
        if self.aside.last().is_none_or(|(.., question)| question.is_done())
            && let Some((item, short)) = self.to_ask.pop_first()
        {
            let mut shelf = self.shelf.clone();
            shelf.add(item.clone(), short);
            let question = Question::new(&self.orders, &shelf, self.most, ASIDE);
            self.aside.push((item, short, question));
        }
        self.aside.last_mut().map(|(.., question)| question).filter(|question| !question.is_done())
    }

    /// The best choice so far.
    pub fn choice(&self) -> Choice {
        let made = self.main.made(&self.orders);
        let before = measure(&self.orders, &made);
        let rank = |(count, profit): (i64, i64)| match self.most {
            Most::Orders => (count, profit),
            Most::Profit => (profit, count),
        };
        let gain = |(item, short, question): &(Item, u32, Question)| {
            let after = measure(&self.orders, &question.made(&self.orders));
            let (orders, profit) = (after.0 - before.0, after.1.saturating_sub(before.1));
            (question.is_done() && rank(after) > rank(before)).then(|| Bottleneck {
                item: item.clone(),
                short: *short,
                orders,
                profit,
            })
        };
        let mut bottlenecks: Vec<Bottleneck> = self.aside.iter().filter_map(gain).collect();
        bottlenecks.sort_by_key(|found| std::cmp::Reverse(rank((found.orders, found.profit))));
        let (is_proved, gap) = (self.main.is_proved(), self.main.gap());
        Choice { made, is_proved, gap, bottlenecks }
    }
}

/// How many orders that is, and what they earn.
fn measure(orders: &[Waiting], made: &[usize]) -> (i64, i64) {
    (made.len() as i64, made.iter().map(|&at| orders[at].profit).fold(0, i64::saturating_add))
}

/// The pieces of which all orders together take more than lie there, and how many more.
fn scarce(orders: &[Waiting], shelf: &Goods) -> BTreeMap<Item, u32> {
    let mut all = Goods::default();
    orders.iter().for_each(|order| all.add_all(&order.need, 1));
    all.less(shelf).iter().map(|(item, count)| (item.clone(), count)).collect()
}

/// What an order earns. Figures of a booth are far below the limit; whatever is beyond counts as
/// much.
fn profit(order: &Waiting) -> i64 {
    const LARGEST: i64 = 10_000_000;
    order.profit.clamp(-LARGEST, LARGEST)
}

/// What can be made with a shelf.
struct Question {
    main: Part,
    /// Of as many orders those that earn more, as far as a little more search finds them.
    tie: Option<Part>,
    /// So much more work the main part may take.
    left: u32,
    tie_left: u32,
}

impl Question {
    fn new(orders: &[Waiting], shelf: &Goods, most: Most, work: u32) -> Self {
        let (main, tie) = match most {
            Most::Profit => (Part::new(orders, shelf, profit), None),
            Most::Orders => {
                // So much for an order that no profit makes up for one less.
                let each = orders.iter().map(|order| profit(order).abs()).sum::<i64>() + 1;
                let tie = Part::new(orders, shelf, |order| each + profit(order));
                (Part::new(orders, shelf, |_| 1), Some(tie))
            }
        };
        Self { main, tie, left: work, tie_left: ASIDE.min(work) }
    }

    fn is_proved(&self) -> bool {
        self.main.tree.is_proved()
    }

    fn gap(&self) -> i64 {
        self.main.tree.gap()
    }

    fn is_done(&self) -> bool {
        let main = self.is_proved() || self.left == 0;
        main && (self.tie_left == 0 || self.tie.as_ref().is_none_or(|tie| tie.tree.is_proved()))
    }

    /// Goes on; what is left of the work allowed.
    fn work(&mut self, places: u32) -> u32 {
        if let Some(tie) = self.tie.as_mut().filter(|tie| self.tie_left > 0 && !tie.tree.is_proved()) {
            let asked = places.min(self.tie_left);
            let left = tie.tree.work(asked);
            self.tie_left -= asked - left;
            return places - asked + left;
        }
        let asked = places.min(self.left);
        let left = self.main.tree.work(asked);
        self.left -= asked - left;
        places - asked + left
    }

    /// The better of both parts' choices, in the order of the list.
    fn made(&self, orders: &[Waiting]) -> Vec<usize> {
        let main = self.main.made();
        match self.tie.as_ref().map(Part::made) {
            Some(tie) if measure(orders, &tie) > measure(orders, &main) => tie,
            _ => main,
        }
    }
}

/// A search with one worth for each order.
struct Part {
    /// Made in any case: what they take is not scarce.
    free: Vec<usize>,
    /// Those that compete, by their place in the list.
    competing: Vec<usize>,
    tree: Tree,
}

impl Part {
    fn new(orders: &[Waiting], shelf: &Goods, value: impl Fn(&Waiting) -> i64) -> Self {
        let scarce: Vec<Item> = scarce(orders, shelf).into_keys().collect();
        let room: Vec<i64> = scarce.iter().map(|item| i64::from(shelf.get(item))).collect();
        let is_possible = |order: &Waiting| order.need.less(shelf).is_empty();
        let take = |order: &Waiting| -> Vec<(usize, i64)> {
            let counts = scarce.iter().map(|item| i64::from(order.need.get(item)));
            counts.enumerate().filter(|(_, count)| *count > 0).collect()
        };
        let (mut free, mut competing, mut asked) = (Vec::new(), Vec::new(), Vec::new());
        for (at, order) in orders.iter().enumerate().filter(|(_, o)| value(o) > 0 && is_possible(o)) {
            let take = take(order);
            if take.is_empty() {
                free.push(at);
            } else {
                competing.push(at);
                asked.push(Asked { value: value(order), take });
            }
        }
        Self { free, competing, tree: Tree::new(asked, room) }
    }

    fn made(&self) -> Vec<usize> {
        let chosen = self.tree.best().map(|at| self.competing[at]);
        let mut made: Vec<usize> = self.free.iter().copied().chain(chosen).collect();
        made.sort_unstable();
        made
    }
}
