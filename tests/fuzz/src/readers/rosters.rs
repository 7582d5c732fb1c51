//! A roster, as it is pasted.

use lettertally::lists::{Blank, demo};
use lettertally::order::roster::{self, LONGEST, Roster};

pub fn check(input: &[u8]) {
    let text = String::from_utf8_lossy(input);
    let lists = demo::lists();
    for blank in [lists.blanks.first(), None] {
        let read = roster::read(&text, blank);
        every_row_is_there_once(&text, &read);
        people_are_whole(&read, blank);
        people_read_back(&read, blank);
        one_more_row_changes_no_other(&text, &read, blank);
    }
}

fn every_row_is_there_once(text: &str, read: &Roster) {
    let people = read.people.iter().map(|person| person.row);
    let mut rows: Vec<u64> = people.chain(read.faults.iter().map(|fault| fault.row)).collect();
    rows.sort_unstable();
    assert!(rows.windows(2).all(|pair| pair[0] < pair[1]), "two rows of one number");
    let lines = text.matches(['\r', '\n']).count() + 1;
    assert!(rows.iter().all(|row| (1..=lines as u64).contains(row)), "a row beyond the text");
    if text.len() > LONGEST {
        assert_eq!((read.people.len(), read.faults.len()), (0, 1));
    }
    read.faults.iter().for_each(super::says_why);
}

fn people_are_whole(read: &Roster, blank: Option<&Blank>) {
    for person in &read.people {
        assert!((1..=999).contains(&person.quantity));
        assert!(!(person.name.is_empty() && person.number.is_empty()));
        assert!(person.name.chars().count() <= 60 && person.number.chars().count() <= 60);
        assert!(blank.is_none_or(|blank| blank.sizes.iter().any(|size| size.name == person.size)));
    }
}

/// The people, written with headings and whatever separator, are the same people.
fn people_read_back(read: &Roster, blank: Option<&Blank>) {
    for separator in [',', ';', '\t'] {
        let mut text = roster::write_row(&["name", "number", "size", "quantity"], separator);
        for person in &read.people {
            let cells = [&person.name, &person.number, &person.size, &person.quantity.to_string()];
            text.push('\n');
            text.push_str(&roster::write_row(&cells.map(String::as_str), separator));
        }
        let again = roster::read(&text, blank);
        assert_eq!(again.faults, [], "{text}");
        let cells = |read: &Roster| {
            let all = read.people.iter().cloned();
            all.map(|person| (person.name, person.number, person.size, person.quantity)).collect::<Vec<_>>()
        };
        assert_eq!(cells(&again), cells(read), "{text}");
    }
}

/// What the page does to add a person: a row at the end, in the text's own columns and separator.
fn one_more_row_changes_no_other(text: &str, read: &Roster, blank: Option<&Blank>) {
    // Without headings columns go by what is in them, and a quotation mark that is not closed takes
    // in all that follows.
    if !read.has_header || !read.faults.is_empty() || read.people.is_empty() {
        return;
    }
    let cell = |column: &roster::Column| match column {
        roster::Column::Name => "Ash; the \"tall\", one",
        roster::Column::Number => "7",
        roster::Column::Size => blank.map_or("M", |blank| blank.sizes[0].name.as_str()),
        roster::Column::Quantity => "2",
        roster::Column::Other => "",
    };
    let cells: Vec<&str> = read.columns.iter().map(cell).collect();
    let mut longer = text.to_owned();
    roster::add_row(&mut longer, &cells);
    let more = roster::read(&longer, blank);
    assert_eq!(more.people.len(), read.people.len() + 1, "{longer}");
    assert_eq!(more.people[..read.people.len()], read.people);
}

pub fn seeds() -> Vec<Vec<u8>> {
    [
        "name,number,size,quantity\nAsh,7,M,2\n\"Birch, Jr\",8,XL,1\n",
        "Name\tNo\tSize\r\nAsh\t07\tS\r\n\r\nBirch\t8\tL\r\n",
        "Okonjo; 1; S\nLindqvist; 4; M\nO'Dell; 7; huge\n",
        "Ash 7 M",
        "\u{feff}#,player,qty,size\n3,\"Two\nlines\",x,M\n4,Elm,999,2XL\n5,,1,M,,\n",
        "shirt size\rname\rM\r\"open",
        "José\nGroß\n👕\n",
    ]
    .map(|text| text.as_bytes().to_vec())
    .into()
}
