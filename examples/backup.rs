//! What is kept on a device, written to a file and read again on another device.
//!
//! `cargo run --example backup`

use lettertally::book::Moment;
use lettertally::saved::{self, backup, keys::InMemory, store::Store};

fn main() {
    let mut device = Store::open(Box::new(InMemory::default()));
    let state = saved::demo_state("2026-01-01", Moment(5));
    device.keep(&state, Moment(6));
    println!("the device holds {} characters", device.characters());

    let file = backup::write(&state, Moment(7));
    let elsewhere = saved::demo_state("2026-02-02", Moment(8));
    match backup::read(&file) {
        Ok(contents) => {
            let found = backup::compare(&elsewhere, &contents.parts);
            println!("only in the file: {:?}; later in the file: {:?}", found.only_there, found.later_there);
            let restored = backup::restored(&elsewhere, &contents.parts, backup::How::Replace);
            println!("brought back whole: {}", restored.shop == state.shop);
        }
        Err(error) => println!("{error}"),
    }
    match backup::read(&file[..file.len() / 2]) {
        Ok(_) => println!("half a file went unnoticed"),
        Err(error) => println!("{error}"),
    }
}
