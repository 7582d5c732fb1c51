//! The browser: storage, address, clipboard, files, clock, the page on the device. The only code
//! that talks to it.

pub mod address;
pub mod clock;
pub mod device;
pub mod files;
pub mod hand_over;
pub mod input;
pub mod local_storage;
pub mod offline;
pub mod unicode;
