//! Files to readings to points with heights and their doubt.

mod reading;

pub use reading::{
    Book, BookPoint, Data, Fix, Method, Misclosure, NamedPlace, Pass, Position, Reading,
};
