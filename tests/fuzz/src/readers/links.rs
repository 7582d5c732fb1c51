//! What stands after the `#` of a link: from a customer, a colleague, a shop's web page, or anybody.

use super::{keeps, says_why, small_lists};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use lettertally::book::{Entry, Handed, Moment};
use lettertally::lists::demo;
use lettertally::order::{Order, OrderId};
use lettertally::plan::{Shop, plan};
use lettertally::quote::{Quote, quote};
use lettertally::share::acceptance::Acceptance;
use lettertally::share::copy::Copy;
use lettertally::share::dense::{Kind, Packer};
use lettertally::share::{self, LONGEST_LINK, Link};
use miniz_oxide::deflate::compress_to_vec_zlib;
use sha2::{Digest, Sha256};

/// A fragment as it is, or something that is made one first, by its first byte: what a mutation of
/// the finished link would hardly ever reach.
pub fn check(input: &[u8]) {
    let Some((kind, rest)) = input.split_first() else {
        return;
    };
    let text = String::from_utf8_lossy(rest);
    let fragment = match kind {
        b'1' => first_version(rest),
        b'2' => second_version(&text),
        b'3' => packed_as("quote=2", &text, rest),
        b'4' => copy(&text),
        b'5' => packed_as("copy=1", &text, rest),
        _ => String::from_utf8_lossy(input).into_owned(),
    };
    match share::read(&fragment) {
        Err(error) => says_why(&error),
        Ok(None) => assert!(fragment.is_empty() || fragment == "#"),
        Ok(Some(link)) => {
            assert!(fragment.len() <= LONGEST_LINK + 1);
            assert_eq!(share::is_for_customer(&fragment), matches!(link, Link::Quote(_)), "{fragment}");
            match link {
                Link::Quote(quote) => quoted(&quote, &fragment),
                Link::Start(start) => match start.order(&small_lists(), OrderId::new("new"), "2026-01-01") {
                    Ok(order) => ordered(&order),
                    Err(error) => says_why(&error),
                },
                Link::Accept(yes) => assert_eq!(share::read(&yes.fragment()), Ok(Some(Link::Accept(yes)))),
                Link::Copy(copy) => copied(&copy, &fragment),
            }
        }
    }
}

/// A quote has one link, its code another, and what the customer sees of it can be worked out.
fn quoted(quote: &Quote, fragment: &str) {
    let again = share::quote_fragment(quote);
    let code = |fragment: &str| {
        fragment.split(['#', '&']).find(|part| part.starts_with("quote=2.")).map(str::to_owned)
    };
    match code(fragment) {
        Some(was) => assert_eq!(code(&again), Some(was)),
        // From the first version: handed over anew it is the same quote.
        None => assert_eq!(Handed::new(quote, "2026-01-02").quote().as_ref(), Some(quote), "{again}"),
    }
    let yes = Acceptance::of(quote);
    assert_eq!(share::read(&yes.fragment()), Ok(Some(Link::Accept(yes))));
    let _ = (quote.total(), quote.deposit(), quote.balance(), quote.garments(), quote.valid_until());
    for item in &quote.items {
        let _ = quote.pictures(item);
    }
}

/// An order that came in a link can be kept, copied on, and read against the lists.
fn ordered(order: &Order) {
    let lists = small_lists();
    keeps(&Entry::new(order.clone(), Moment(1)));
    let _ = (order.read(&lists), order.called().len(), order.is_only_begun());
    let copy = Copy::of(order, &lists);
    let fragment = copy.fragment();
    assert_eq!(share::read(&fragment), Ok(Some(Link::Copy(Box::new(copy)))), "{fragment}");
}

fn copied(copy: &Copy, fragment: &str) {
    assert_eq!(copy.fragment().trim_start_matches('#'), fragment.trim_start_matches('#'));
    keeps(&Entry::new(copy.order.clone(), Moment(1)));
    let (order, missing) = copy.taken_over(&small_lists(), OrderId::new("mine"));
    missing.iter().for_each(says_why);
    let _ = order.read(&small_lists());
    keeps(&Entry::new(order, Moment(1)));
}

fn with_length(name: &str, bytes: &[u8]) -> String {
    let code = URL_SAFE_NO_PAD.encode(bytes);
    format!("#{name}.{}.{code}", code.len())
}

/// Version 1: JSON, compressed.
fn first_version(json: &[u8]) -> String {
    with_length("quote=1", &compress_to_vec_zlib(json, 1))
}

/// Check and packed bytes as they are, after a line that stands readable.
fn packed_as(name: &str, text: &str, all: &[u8]) -> String {
    let line = text.lines().next().unwrap_or_default();
    let bytes = all.splitn(2, |byte| *byte == b'\n').nth(1).unwrap_or_default();
    let more = if line.is_empty() { String::new() } else { format!("&{line}") };
    with_length(name, bytes) + &more
}

/// Texts that are sealed as the documents say, each a line.
struct Writer<'a> {
    lines: std::str::Lines<'a>,
    packer: Packer,
    hash: Sha256,
}

impl<'a> Writer<'a> {
    fn new(text: &'a str) -> Self {
        Self { lines: text.lines(), packer: Packer::default(), hash: Sha256::default() }
    }

    fn counted(&mut self, text: &str) {
        self.hash.update(text.as_bytes());
        self.hash.update([0xff]);
    }

    fn line(&mut self, kind: Kind) -> &'a str {
        let line = self.lines.next().unwrap_or_default();
        self.packer.text(kind, line);
        self.counted(line);
        line
    }

    fn all(&mut self, kinds: &[Kind]) {
        for kind in kinds {
            self.line(*kind);
        }
    }

    /// As many entries as the next line says; few, as a text has only so many lines.
    fn list(&mut self, entry: impl Fn(&mut Self)) {
        let count = self.line(Kind::Figure).parse().unwrap_or(0_usize);
        (0..count.min(40)).for_each(|_| entry(self));
    }

    fn finish(self, name: &str) -> String {
        let digest: [u8; 32] = self.hash.finalize().into();
        let mut bytes = digest[..4].to_vec();
        bytes.extend(self.packer.finish());
        with_length(name, &bytes)
    }
}

/// Version 2 as `docs/links.md` has it, from lines: number, readable title, then the texts in order.
fn second_version(text: &str) -> String {
    use Kind::{Figure, Name, Prose, Size, Term};
    let mut to = Writer::new(text);
    let number = to.lines.next().unwrap_or_default();
    let title = to.lines.next().unwrap_or_default();
    to.counted(number);
    to.counted(title);
    to.all(&[Prose, Prose, Prose, Figure, Prose, Figure, Figure, Figure, Figure, Prose, Prose]);
    to.list(|to| to.all(&[Figure, Figure]));
    to.list(|to| to.all(&[Name, Name]));
    to.list(|to| {
        to.all(&[Term]);
        if to.line(Figure) != "0" {
            to.all(&[Figure, Figure, Figure]);
        }
        to.list(|to| to.all(&[Term, Prose, Figure, Term, Term, Figure]));
        to.list(|to| to.all(&[Size, Figure, Figure]));
        let people = to.line(Figure).parse().unwrap_or(0_usize).min(40);
        [Name, Figure, Size, Figure].iter().for_each(|kind| (0..people).for_each(|_| to.all(&[*kind])));
    });
    let mut fragment = to.finish("quote=2");
    for (name, text) in [("no", number), ("for", title)].iter().filter(|(_, text)| !text.is_empty()) {
        fragment.push_str(&format!("&{name}={}", text.replace(['&', '%', '#', '+'], "-")));
    }
    fragment
}

/// A working copy from lines: names, then the order as JSON in the last.
fn copy(text: &str) -> String {
    let mut to = Writer::new(text);
    to.list(|to| to.all(&[Kind::Term, Kind::Term, Kind::Term]));
    to.line(Kind::Data);
    to.finish("copy=1")
}

const QUOTE_1: &str = r##"1["Kiteway Press","555 0100","Marsh Otters","2026-01-01",{"code":"USD","digits":2},"7",[["club tee, navy",[["upper_back","{name} #7","2in","smooth film","white"]],[["M",2,2195],["L",1,2195]],[["Ash","7","M",2],["Birch","","L",1]]]],[{"from":"É","to":"E"},{"from":"!","to":null}]]"##;

const QUOTE_2: &str = "2260131-K7QF\nMarsh Otters\n\nKiteway Press\n555 0100\n2026-01-31\nUSD\n2\n7\n14\n50\ntwo weeks\nNo returns.\n\
    1\n24\n1895\n1\nÉ\nE\n1\nclub tee, navy\n1\n#1d2f5a\n20in\n711.2mm\n\
    2\nacross_chest/iu1in/0.05/4512\nOTTERS {number}\n2in\nglitter film\ngold\n#d9a520\nupper_back\n{name}\n50.8mm\nsmooth film\nwhite\n\n\
    1\nM\n2\n2195\n2\nAsh\nBirch\n7\n08\nM\nM\n1\n1\n";

pub fn seeds() -> Vec<Vec<u8>> {
    let shop = Shop { lists: small_lists(), settings: demo::settings(), ..Shop::default() };
    let mut order = demo::order("2026-01-01");
    order.designs[0].roster = "name,number,size\nAsh,7,M\n".to_owned();
    order.designs[0].lines.truncate(2);
    let json = serde_json::to_string(&order).unwrap_or_default();
    let mut all: Vec<String> =
        vec![QUOTE_1.into(), QUOTE_2.into(), include_str!("../../../data/links/v1.txt").trim().into()];
    all.push(format!("42\nfinish\nsmooth\nsmooth film\ncolour\nsmooth\u{1f}white\nwhite\n{json}\n"));
    all.push(Copy::of(&order, &shop.lists).fragment());
    if let Some(quote) = quote(&order, &shop, &plan(&order, &shop)) {
        all.push(share::quote_fragment(&quote));
        all.push(Acceptance::of(&quote).fragment());
    }
    all.push("#text=TIGERS&text=7&qty=12&height=4&at=chest&at=upper-back&finish=glitter&colour=gold&style=block&blank=club-tee-navy&size=M&title=A+B".into());
    all.push("#text=%7Bname%7D&height=50+mm&utm=x".into());
    let mut all: Vec<Vec<u8>> = all.into_iter().map(String::into_bytes).collect();
    all.extend([b"3\n0000 packed".to_vec(), b"5\n0000 packed".to_vec()]);
    all
}
