use lettertally::book::fact::{Device, Field, Payment, Promise, What};
use lettertally::book::life::Life;
use lettertally::book::{Book, Handed, Moment};
use lettertally::booth::making::{cost_each, makings};
use lettertally::booth::offer::{self, Said};
use lettertally::lists::demo;
use lettertally::order::OrderId;
use lettertally::plan::{Shop, plan};
use lettertally::quote;
fn one(at: usize, name: &str, with_quote: bool) -> String {
    let shop = Shop { lists: demo::lists(), settings: demo::settings(), ..Shop::default() };
    let mut book = Book::only(demo::order("2026-01-01"), Moment(1)).written_by(Device::new("k3x9a1"));
    let usual = offer::first(&shop.lists).unwrap();
    let now = Moment(1_790_000_000_000 + at as u64 * 97_531);
    let said = Said {
        name: name.into(),
        number: "7".into(),
        size: "M".into(),
        count: 1,
        texts: vec![(0, "HARBOUR HERONS".into())],
    };
    let id = OrderId::new(format!("{:x}-{:x}", now.0, 0xabc123 + at));
    let order = offer::order(&usual, &said, id.clone(), "2026-09-12");
    book.begin(order.clone(), now);
    let plan = plan(&order, &shop);
    let priced = plan.priced.clone().unwrap();
    if with_quote {
        let q = quote::quote(&order, &shop, &plan).unwrap();
        book.hand_over(&id, Handed::new(&q, "2026-09-12"), now);
    }
    book.note(&id, What::Quoted(Promise { total: priced.total(), tax: priced.tax, garments: 1 }), now);
    let noting = Life::of(book.current()).noting(Field::PickUp, "2026-09-12 14:30");
    book.note(&id, noting, now);
    book.note(&id, What::Paid(if with_quote { Payment::Card } else { Payment::Cash }, priced.total()), now);
    let m = makings(book.current(), &shop.lists, &shop.settings).remove(0);
    let made = m.made(1, cost_each(&plan, &m, &shop.settings.currency));
    let f = book.note(&id, What::Pressed(Box::new(made.clone())), now).unwrap();
    if with_quote {
        book.note(&id, What::Undone(f), now);
        book.note(&id, What::Pressed(Box::new(made)), now);
    }
    book.note(&id, What::HandedOver, now);
    serde_json::to_string(book.current()).unwrap()
}
#[test]
fn print() {
    let sample = one(0, "ABCDEFGHIJKLMNOPQRSTUVWXYZ", true) + &one(1, "WREN", false);
    std::fs::write("src/saved/packed/sample_1.json", &sample).unwrap();
    std::fs::write("/tmp/w/wren.json", one(77, "WREN", false)).unwrap();
}
#[test]
fn pack() {
    let text = std::fs::read_to_string("/tmp/w/wren.json").unwrap();
    let packed = lettertally::saved::packed::pack(&text).unwrap();
    println!("{} -> {}", text.len(), packed.len());
    std::fs::write("src/saved/packed/example_1.txt", packed).unwrap();
}
