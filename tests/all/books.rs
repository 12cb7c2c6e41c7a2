//! Field books through the whole reader: what must be refused names its row and column; what field books look like is accepted.

use proptest::prelude::*;
use steadyfall::reading::{
    Book, Data, LevellingOrder, Method, Position, ReadOptions, Reading, Spread,
};
use steadyfall::survey;
use steadyfall::text::Fault;

fn read_with(text: &str, options: &ReadOptions) -> Result<Reading, Fault> {
    survey::read_bytes(text.as_bytes(), "book.csv", None, options)
}

fn read(text: &str) -> Result<Reading, Fault> {
    read_with(text, &ReadOptions::default())
}

fn book_with(text: &str, options: &ReadOptions) -> Book {
    match read_with(text, options)
        .unwrap_or_else(|e| panic!("{e}"))
        .data
    {
        Data::Book(book) => book,
        Data::Walks(_) => panic!("a sheet gave walks"),
    }
}

fn book(text: &str) -> Book {
    book_with(text, &ReadOptions::default())
}

fn heights(book: &Book) -> Vec<f64> {
    book.points.iter().map(|p| p.height_m.unwrap()).collect()
}

/// Variance of the error of point i less that of point j, from the book's own doubt.
fn sd_between(book: &Book, i: usize, j: usize) -> f64 {
    book.factors
        .iter()
        .map(|f| (f[i] - f[j]).powi(2))
        .sum::<f64>()
        .sqrt()
}

fn near(got: &[f64], want: &[f64], within: f64) {
    assert_eq!(got.len(), want.len(), "{got:?}");
    for (g, w) in got.iter().zip(want) {
        assert!((g - w).abs() <= within, "{got:?} for {want:?}");
    }
}

/// Each text, then the place and the words its fault must have.
const REFUSED: [(&str, &str, &str); 39] = [
    (
        "station_m,bs_m,is_m,fs_m\n0,1.2,,\n10,,7.5,\n20,,,2.0\n",
        "book.csv:3:5",
        "more than the length of the staff",
    ),
    (
        "station_ft,bs_ft,is_ft,fs_ft\n0,4.2,,\n10,,,17.5\n",
        "book.csv:3:6",
        "more than the length of the staff",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n0,,1.2,\n10,,,2\n",
        "book.csv:2:3",
        "no backsight before this sight",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n0,,,1.2\n10,1,,2\n20,2.1,,\n",
        "book.csv:2:5",
        "starts with a foresight",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n0,1.2,,\n10,,,2\n20,,2.2,\n30,,,2\n",
        "book.csv:4:4",
        "no backsight",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n0,1.2,,\n10,,2,\n20,,2.2,\n",
        "book.csv:4:5",
        "ends with an intermediate",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n0,1.2,,\n10,1,2,3\n",
        "book.csv:3:6",
        "together with a backsight",
    ),
    (
        "station_m,bs_m,is_m,fs_m,setup\n0,1.2,,,1\n10,,2,,2\n20,,,2,2\n",
        "book.csv:3:4",
        "this set-up has no backsight",
    ),
    (
        "station_m,bs_m,is_m,fs_m,point\n0,1.2,,,A\n10,,,2,B\n20,1,,,C\n30,,,2,D\n",
        "book.csv:4:4",
        "a point with no height yet",
    ),
    (
        "station_m,bs_m,is_m,fs_m,rise_m,fall_m\n0,1.2,,,,\n10,,,2.0,0.8,\n",
        "book.csv:3:10",
        "does not agree with the readings",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n0,1.2,,\n10,,x,\n",
        "book.csv:3:5",
        "not a number",
    ),
    (
        "station_m,bs_m,is_m\n0,1.2,\n",
        "book.csv:1:1",
        "has no column fs_m",
    ),
    (
        "station,bs_m,fs_m\n0,1.2,\n10,,2\n",
        "book.csv:1:1",
        "this length has no unit",
    ),
    (
        "station_m,bs_m,bs_ft,fs_m\n0,1.2,,\n10,,,2\n",
        "book.csv:1:16",
        "in metres and in feet",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n,1.2,,\n,,,2\n",
        "book.csv:2:1",
        "fewer than two points have a station",
    ),
    (
        "station_m,bs_m,is_m,fs_m\n12+50,1.2,,\n20,,,2\n",
        "book.csv:2:1",
        "digits after the plus",
    ),
    (
        "station_m,bs_m,fs_m\n0,5' 6\",\n20,,2\n",
        "book.csv:2:3",
        "in feet, but the column is in metres",
    ),
    (
        "from,to,tape_m\nA,B,10\n",
        "book.csv:2:1",
        "has no angle, grade or rise",
    ),
    (
        "from,to,tape_m,angle\nA,B,10,-5\n",
        "book.csv:1:16",
        "this column head has no unit",
    ),
    (
        "from,to,angle_deg\nA,B,-5\n",
        "book.csv:1:1",
        "not those of a survey sheet",
    ),
    (
        "from,to,tape_m,angle_deg,grade_percent\nA,B,10,-5,-9\n",
        "book.csv:2:11",
        "given in two ways",
    ),
    (
        "from,to,slope_m,angle_deg\nA,B,10,-75\n",
        "book.csv:2:8",
        "too steep to be correct",
    ),
    (
        "from,to,slope_m,horizontal_m,angle_deg\nA,B,30,26.83,-50\n",
        "book.csv:2:14",
        "do not agree with this angle",
    ),
    (
        "from,to,slope_m,rise_m\nA,B,3,-4\n",
        "book.csv:2:7",
        "larger than the length",
    ),
    (
        "from,to,tape_m,steps\nA,B,30,-4\n",
        "book.csv:2:1",
        "no eye height",
    ),
    (
        "from,to,tape_m,angle_deg\nA,B,30,-4\nC,D,20,-5\n",
        "book.csv:3:1",
        "not connected to the other legs",
    ),
    (
        "from,to,tape_m,angle_deg\nA,B,30,-4\nB,C,20,-5\nB,D,20,-5\n",
        "book.csv:4:1",
        "more than two legs meet at B",
    ),
    (
        "from,to,tape_m,angle_deg\nA,B,30,-14\nB,A,30,-14\n",
        "book.csv:2:8",
        "do not agree",
    ),
    (
        "from,to,upper_m,middle_m,lower_m,eye_m\nA,B,2.0,1.7,1.2,1.5\n",
        "book.csv:2:9",
        "not the mean of the upper and lower",
    ),
    (
        "station_m,pressure_psi\n0,0\n10,900\n",
        "book.csv:3:1",
        "too steep to be possible",
    ),
    (
        "lat,lon,height_m\n45,7,100\n145,7,90\n",
        "book.csv:3:1",
        "not a place on the earth",
    ),
    (
        "station_m,height_m\n0,100\n10,99\n10,95\n",
        "book.csv:4:1",
        "this station has two heights",
    ),
    (
        "from,to,tape_m,angle_deg,pull_n\nA,B,30,-5,-20\n",
        "book.csv:2:11",
        "not possible",
    ),
    (
        "from,to,tape_m,angle_deg,tape_temp_f\nA,B,30,-5,300\n",
        "book.csv:2:11",
        "not possible",
    ),
    (
        "from,to,tape_m,angle_deg,tape_temp_f,tape_temp_c\nA,B,30,-5,50,10\n",
        "book.csv:1:26",
        "given in two units",
    ),
    (
        "station_m,pressure_psi,water_c\n0,0,10\n20,5,50\n",
        "book.csv:3:6",
        "not possible",
    ),
    (
        "station_m,bs_m,is_m,fs_m,rise_m,fall_m\n0,1.0,,,,\n10,,2.0,,,0.9\n20,,,3.0,,1.0\n",
        "book.csv:3:11",
        "does not agree with the readings",
    ),
    (
        "station_m,height_m\n0,10\n10,9,5\n20,8\n",
        "book.csv:3:6",
        "more cells than heads",
    ),
    (
        "station_m,height_m,sd_m\n0,10,0.1\n10,9,-0.2\n",
        "book.csv:3:6",
        "standard deviation is negative",
    ),
];

#[test]
fn what_cannot_be_is_refused_by_row_and_column() {
    for (text, place, words) in REFUSED {
        let fault = read(text).expect_err(text).to_string();
        assert!(
            fault.starts_with(place) && fault.contains(words),
            "{text}\n{fault}\nshould be {place} {words}"
        );
        // A fault in a row names the column beside its caret; one in the heads stands under the head itself.
        assert!(
            place.contains(".csv:1:") || fault.contains("^ ") || text.contains("9,5"),
            "{fault}"
        );
        assert!(
            fault.contains("\n  do: ") && fault.contains("\n  expected: "),
            "{fault}"
        );
    }
}

#[test]
fn a_misclosure_beyond_the_order_names_the_row_that_explains_it() {
    // true readings 1.546 and 0.987 / 2.345; levelled on to a known point
    let sheet = |bs: f64, fs: f64| {
        format!(
            "station_m,bs_m,is_m,fs_m,elevation_m\n0,1.546,,,100\n40,{bs},,2.345,\n80,1.204,,{fs},\n120,,,2.650,96.128\n"
        )
    };
    let good = book(&sheet(0.987, 2.614));
    assert!(good.misclosure.unwrap().found_m.abs() < 1e-9);
    // 2.614 booked as 2.164
    let fault = read(&sheet(0.987, 2.164)).unwrap_err();
    assert_eq!(
        (fault.place.line, fault.place.key.as_deref()),
        (Some(4), Some("fs_m")),
        "{fault}"
    );
    assert!(
        fault
            .to_string()
            .contains("misclosure of 0.450 m (calculated minus known)"),
        "{fault}"
    );
    // backsight and foresight exchanged
    let fault = read(&sheet(2.614, 0.987)).unwrap_err();
    assert!(
        fault.advice.as_deref().unwrap().contains("exchanged"),
        "{fault}"
    );
    // a slip of no common kind is refused without accusing a row
    let fault = read(&sheet(0.987, 2.864)).unwrap_err();
    assert!(fault.text.contains("no single common mistake"), "{fault}");
    // a rougher order of work takes a small one
    let rough = ReadOptions {
        order: LevellingOrder::Rough,
        ..ReadOptions::default()
    };
    assert!(
        book_with(&sheet(0.987, 2.594), &rough)
            .misclosure
            .unwrap()
            .found_m
            > 0.019
    );
}

#[test]
fn change_points_on_one_row_or_two_are_the_same_book() {
    let one = "station_m,bs_m,is_m,fs_m,elevation_m\n0,0.855,,,50\n30,,1.545,,\n60,0.455,,3.825,\n90,,1.380,,\n120,,,2.855,\n";
    let two = "station_m;bs_m;is_m;fs_m;elevation_m;remark\n0;0,855;;;50;\n30;;1,545;;;wet\n60;;;3,825;;\n60;0,455;;;;moved\n90;;1,380;;;\n120;;;2,855;;\n";
    let blank = "\u{feff}# page 3\nstation_m,bs_m,is_m,fs_m,elevation_m\n0,0.855,,,50\n\n30,,1.545,,\n60,,,3.825,\n,0.455,,,\nStation_m,BS_m,IS_m,FS_m,Elevation_m\n90,,1.380,,\n120,,,2.855,\n";
    let want = heights(&book(one));
    near(&want, &[50.0, 49.31, 47.03, 46.105, 44.63], 1e-9);
    for text in [two, blank] {
        let book = book(text);
        near(&heights(&book), &want, 1e-12);
        assert_eq!(book.setups, 2);
    }
}

#[test]
fn feet_and_inches_stations_and_an_inverted_staff() {
    let text = "station_ft,bs_ft,is_ft,fs_ft,elevation_ft,remark\n12+50,5' 6\",,,1000,\n13+00,,-6.5,,,under the bridge\n13+50,,,8.25,,\n";
    let book = book(text);
    let feet: Vec<f64> = heights(&book).iter().map(|h| h / 0.3048).collect();
    near(&feet, &[1000.0, 1012.0, 997.25], 1e-9);
    assert!((book.points[0].station_m.unwrap() - 1250.0 * 0.3048).abs() < 1e-9);
}

#[test]
fn a_loop_back_to_the_start_closes_and_its_way_back_is_not_on_the_line() {
    let text = "station_m,point,bs_m,is_m,fs_m\n0,weir,1.000,,\n50,,0.500,,2.500\n100,house,2.900,,2.000\n,tp,2.400,,1.397\n,weir,,,0.899\n";
    let reading = read(text).unwrap();
    let Data::Book(book) = &reading.data else {
        panic!()
    };
    let m = book.misclosure.unwrap();
    assert!((m.found_m - 0.004).abs() < 1e-9 && m.allowed_m > 0.009);
    assert_eq!(book.points.len(), 3);
    near(&heights(book), &[100.0, 98.499, 96.998], 1e-9);
    assert!(
        !book.tied
            && reading
                .remarks
                .iter()
                .any(|r| r.text.contains("local datum"))
    );
}

#[test]
fn two_known_points_take_the_doubt_off_the_ends() {
    let mut text = String::from("station_m,bs_m,is_m,fs_m,elevation_m\n0,1.0,,,200\n");
    for i in 1..8 {
        text += &format!("{},1.0,,2.0,\n", 30 * i);
    }
    let open = book(&format!("{text}240,,,2.0,\n"));
    let closed = book(&format!("{text}240,,,2.0,192.004\n"));
    assert!(sd_between(&closed, 0, 8) < 1e-12 && sd_between(&open, 0, 8) > 0.006);
    // the bridge: at the middle half the open end's doubt
    let (middle, end) = (sd_between(&closed, 0, 4), sd_between(&open, 0, 8));
    assert!((middle / end - 0.5).abs() < 1e-9, "{middle} {end}");
    near(&heights(&closed)[4..5], &[196.002], 1e-9);
}

#[test]
fn points_read_from_two_set_ups_are_adjusted_and_a_blunder_is_named() {
    let sheet = |back: &str| {
        format!(
            "station_m,point,bs_m,is_m,fs_m,elevation_m\n0,A,1.000,,,100\n40,B,,2.000,,\n80,C,0.500,,3.000,\n120,D,2.800,,1.502,\n80,C,1.600,,1.800,\n40,B,3.500,,0.601,\n0,A,,,{back},100\n"
        )
    };
    let good = book(&sheet("2.501"));
    near(&heights(&good), &[100.0, 99.0, 98.0, 97.0], 0.003);
    let told: Vec<String> = read(&sheet("2.501"))
        .unwrap()
        .remarks
        .iter()
        .map(|r| format!("{} {}", r.place, r.text))
        .collect();
    assert!(
        told.iter()
            .any(|t| t.contains("more readings than necessary")),
        "{told:?}"
    );
    let residual = told
        .iter()
        .find(|t| t.contains("residual 0.00") || t.contains("residual -0.00"));
    assert!(
        residual.is_some_and(|t| t.contains("book.csv:")),
        "{told:?}"
    );
    // a point read once hangs by the lone reading, one read twice is better known
    assert!(sd_between(&good, 0, 1) < 0.003);
    let fault = read(&sheet("2.451")).unwrap_err();
    assert!(fault.place.line >= Some(2), "{fault}");
    assert!(
        fault.text.contains("wrong") || fault.text.contains("not close"),
        "{fault}"
    );
}

#[test]
fn a_net_names_the_blunder_among_many_checks() {
    // five points on a slope, each read from three set-ups; one reading of B is 80 mm off
    let h = [10.0, 9.2, 8.1, 7.3, 6.4];
    let sheet = |slip: f64| {
        let mut text = String::from("station_m,point,bs_m,is_m,fs_m,elevation_m\n");
        for (j, hi) in [11.1, 10.9, 11.3].into_iter().enumerate() {
            for (i, h) in h.into_iter().enumerate() {
                let off = if (i, j) == (1, 1) {
                    slip
                } else {
                    0.0005 * ((i + 2 * j) % 3) as f64
                };
                let r = hi - h + off;
                let known = if (i, j) == (0, 0) { "10" } else { "" };
                let cells = match i {
                    0 => format!("{r:.4},,"),
                    4 => format!(",,{r:.4}"),
                    _ => format!(",{r:.4},"),
                };
                text += &format!("{},P{i},{cells},{known}\n", 30 * i);
            }
        }
        text
    };
    near(&heights(&book(&sheet(0.0))), &h, 0.002);
    let fault = read(&sheet(0.08)).unwrap_err();
    assert_eq!(fault.place.line, Some(8), "{fault}");
    assert_eq!(fault.place.key.as_deref(), Some("is_m"), "{fault}");
}

#[test]
fn sights_both_ways_take_the_index_error_out() {
    let index = 1.0_f64;
    let mut one_way = String::from("from,to,slope_m,angle_deg\n");
    let mut both = one_way.clone();
    let mut drop = 0.0;
    for (i, angle) in [-8.5, -12.25, 1.5, -17.75, -21.0].into_iter().enumerate() {
        one_way += &format!("{i},{},30,{}\n", i + 1, angle + index);
        both += &format!(
            "{i},{},30,{}\n{},{i},30,{}\n",
            i + 1,
            angle + index,
            i + 1,
            -angle + index
        );
        drop += 30.0 * f64::to_radians(angle).sin();
    }
    let (one, two) = (book(&one_way), book(&both));
    let fall = |b: &Book| heights(b)[5] - heights(b)[0];
    assert!((fall(&two) - drop).abs() < 0.02 && (fall(&one) - drop).abs() > 2.0);
    // The book itself shows the error, and how to take it out of a leg that was sighted one way.
    let remarks = |text: &str, options: &ReadOptions| {
        let reading = read_with(text, options).unwrap();
        reading
            .remarks
            .iter()
            .map(|r| format!("{}\n", r.text))
            .collect::<String>()
    };
    let mixed = format!("{both}5,6,30,{}\n", -10.0 + index);
    let told = remarks(&mixed, &ReadOptions::default());
    assert!(
        told.contains("5 legs sighted in both directions show an index error of +1.00 +- 0.16"),
        "{told}"
    );
    assert!(
        told.contains("1 leg was sighted in one direction only. To correct this, write index_error = \"1.00 deg\""),
        "{told}"
    );
    let known = ReadOptions {
        index_error_rad: Some(index.to_radians()),
        ..ReadOptions::default()
    };
    let told = remarks(&mixed, &known);
    assert!(
        told.contains("an index error of +0.00") && !told.contains("one direction only"),
        "{told}"
    );
    let freed = book_with(&mixed, &known);
    let last = heights(&freed)[6] - heights(&freed)[5];
    assert!((last - 30.0 * (-10.0_f64).to_radians().sin()).abs() < 1e-9);
    // and the doubt says so: an index error grows with the distance, the sights' own with its root
    assert!(sd_between(&one, 0, 5) > 0.6 && sd_between(&two, 0, 5) < 0.25);
}

#[test]
fn percent_read_as_degrees_does_not_close_on_a_known_height() {
    let grades = [-14.0, -22.0, -9.0, -25.0, -18.0];
    let rise: f64 = grades
        .iter()
        .map(|g: &f64| 40.0 * (g / 100.0).atan().sin())
        .sum();
    let sheet = |head: &str| {
        let mut text = format!("point,slope_m,{head},elevation_m\nP0,,,500\n");
        for (i, g) in grades.iter().enumerate() {
            let known = if i == 4 {
                format!("{:.2}", 500.0 + rise)
            } else {
                String::new()
            };
            text += &format!("P{},40,{g},{known}\n", i + 1);
        }
        text
    };
    assert!(
        book(&sheet("grade_percent"))
            .misclosure
            .unwrap()
            .found_m
            .abs()
            < 0.01
    );
    let fault = read(&sheet("angle_deg")).unwrap_err();
    assert!(fault.text.contains("seem to be percent"), "{fault}");
    assert_eq!(
        (fault.place.line, fault.place.key.as_deref()),
        (Some(3), Some("angle_deg"))
    );
}

#[test]
fn bearings_make_a_plan_and_a_loop_closes_by_the_compass_rule() {
    let text = "from,to,horizontal_m,angle_deg,bearing_deg\nA,B,80.4,-5,N76E\nB,C,46.3,-6,S36E\nC,D,72.8,3,S61W\nD,A,68,6.2,N38W\n";
    let reading = read_with(
        text,
        &ReadOptions {
            declination_rad: 0.0,
            ..ReadOptions::default()
        },
    )
    .unwrap();
    let Data::Book(book) = &reading.data else {
        panic!()
    };
    assert_eq!(book.points.len(), 3, "the way back is not on the line");
    let Some(Position::Grid { east_m, north_m }) = book.points[1].position else {
        panic!()
    };
    assert!((east_m - 78.1053).abs() < 1e-3 && (north_m - 19.3653).abs() < 1e-3);
    assert!(
        reading
            .remarks
            .iter()
            .any(|r| r.text.contains("compass rule"))
    );
    let turned = book_with(
        text,
        &ReadOptions {
            declination_rad: 10.0_f64.to_radians(),
            ..ReadOptions::default()
        },
    );
    let Some(Position::Grid { east_m, north_m }) = turned.points[1].position else {
        panic!()
    };
    assert!((north_m.atan2(east_m) - 4.0_f64.to_radians()).abs() < 0.01);
}

#[test]
fn a_hose_reads_the_drop_and_its_doubt_grows_with_the_head() {
    let book = book(
        "station_m,pressure_bar,gauge_height_m,water_c\n0,0.5,1.0,8\n100,3.0,1.2,8\n200,9.0,1.0,8\n",
    );
    let h = heights(&book);
    assert!((h[0] - h[2] - 8.5 * 10.1997).abs() < 0.01, "{h:?}");
    assert!((h[0] - h[1] - 2.5 * 10.1997 - 0.2).abs() < 0.01, "{h:?}");
    assert!(book.points[0].sd_m > 0.4 && book.factors[0][2] > 10.0 * book.factors[0][0]);
}

#[test]
fn positions_by_latitude_are_taken_as_a_hand_receivers() {
    let reading =
        read("lat,lon,height_m,name\n45.0,7.0,100,weir\n45.001,7.0,92,\n45.0005,7.0,,oak\n")
            .unwrap();
    assert_eq!((reading.method, reading.places.len()), (Method::Points, 1));
    let Data::Book(book) = reading.data else {
        panic!()
    };
    assert!(book.points.iter().all(|p| p.sd_m > 1.0));
}

/// A page of levels: ground heights seen through set-ups, readings to the millimetre.
fn page(ground: &[f64], per_setup: usize) -> String {
    let mut text = String::from("station_m,bs_m,is_m,fs_m,elevation_m\n");
    let mut hi = ground[0] + 1.5;
    for (i, h) in ground.iter().enumerate() {
        let known = if i == 0 {
            format!("{h:.3}")
        } else {
            String::new()
        };
        let is_last = i + 1 == ground.len();
        let row = if i == 0 {
            "1.500,,".to_owned()
        } else if is_last {
            format!(",,{:.3}", hi - h)
        } else if i % per_setup == 0 {
            let fs = hi - h;
            hi = h + 1.2;
            format!("1.200,,{fs:.3}")
        } else {
            format!(",{:.3},", hi - h)
        };
        text += &format!("{},{row},{known}\n", 10 * i);
    }
    text
}

proptest! {
    #[test]
    fn a_page_gives_back_the_ground_it_was_read_from(steps in prop::collection::vec(-900_i32..300, 2..40), per in 1_usize..5) {
        let mut h = 300_000;
        let ground: Vec<f64> = std::iter::once(h).chain(steps.iter().map(|s| { h += s; h })).map(|mm| f64::from(mm) / 1000.0).collect();
        let text = page(&ground, per);
        let options = ReadOptions { staff_m: 50.0, ..ReadOptions::default() };
        let book = book_with(&text, &options);
        for (g, w) in heights(&book).iter().zip(&ground) {
            prop_assert!((g - w).abs() < 1e-9);
        }
    }

    #[test]
    fn shifting_the_datum_shifts_every_height(by in -200.0_f64..2000.0) {
        let sheet = |z: f64| format!("station_m,bs_m,is_m,fs_m,elevation_m\n0,1.2,,,{z}\n20,,2.0,,\n40,0.4,,3.1,\n60,,,2.2,{}\n", z - 3.706);
        let (a, b) = (book(&sheet(500.0)), book(&sheet(500.0 + by)));
        for (a, b) in heights(&a).iter().zip(heights(&b)) {
            prop_assert!((b - a - by).abs() < 1e-8);
        }
    }

    #[test]
    fn a_misclosure_is_spread_whole_and_in_order(off_mm in -9_i32..9, spread in prop::sample::select(vec![Spread::Setups, Spread::Distance])) {
        let end = 97.0 - f64::from(off_mm) / 1000.0;
        let text = format!("station_m,bs_m,is_m,fs_m,elevation_m\n0,1.0,,,100\n50,1.0,,2.0,\n100,1.0,,2.0,\n150,,,2.0,{end}\n");
        let book = book_with(&text, &ReadOptions { spread, ..ReadOptions::default() });
        let h = heights(&book);
        prop_assert!((h[3] - end).abs() < 1e-9 && (h[0] - 100.0).abs() < 1e-12);
        let parts: Vec<f64> = [100.0, 99.0, 98.0, 97.0].iter().zip(&h).map(|(raw, h)| (raw - h).abs()).collect();
        prop_assert!(parts.windows(2).all(|w| w[0] <= w[1] + 1e-12));
    }

    #[test]
    fn no_sheet_panics(text in "[a-z_,;0-9.\n'\"+ -]{0,200}") {
        for kind in [None, Some(Method::Level), Some(Method::Angle), Some(Method::Gauge), Some(Method::Points)] {
            let _ = survey::read_bytes(text.as_bytes(), "x.csv", kind, &ReadOptions::default());
        }
    }
}

/// Good sheets of every kind, bent one byte or cell at a time: each mutant is read or refused, never a panic, and what is read is finite.
#[test]
fn bent_sheets_are_read_or_refused() {
    let seeds = [
        "station_m,point,bs_m,is_m,fs_m,elevation_m,rise_m,fall_m,setup,remark\n0,A,1.000,,,100,,,1,\n40,B,,2.000,,,,1.000,1,\n80,C,0.500,,3.000,,,1.0,1,\n120,D,2.800,,1.502,,,,2,x\n80,C,1.600,,1.800,,,,,\n40,B,3.500,,0.601,,,,,\n0,A,,,2.501,100,,,,\n",
        "from,to,tape_m,angle_deg,bearing_deg,eye_m,target_m,elevation_m\nA,B,30,-14,N76E,1.6,1.6,\nB,A,30,14,256,1.6,1.6,\nB,C,20,-9,80,1.6,2,400\nC,D,25,-3,95,1.6,2,\n",
        "from;to;slope_m;steps;eye_m;tube_a_m;tube_b_m;upper_m;middle_m;lower_m\nA;B;30;-4;1,6;;;;;\nB;C;20;;1,6;1,0;2,5;;;\nC;D;;;1,5;;;2,0;1,6;1,2\n",
        "station_m,pressure_psi,gauge_height_m,water_c,elevation_m\n0,1,1,8,300\n50,20,1,8,\n100,60.5,1,8,\n",
        "lat,lon,height_m,sd_m,name\n45.0,7.0,100,0.1,weir\n45.0005,7.0003,96,,\n45.001,7.001,92,0.2,house\n",
        "station_ft,height_ft,name\n12+50,1012.5,a\n13+00,5' 6\",b\n14+25.5,1000,c\n",
    ];
    let bits = b"0123456789.,;-+'\"\n# eNaf\xff\x00";
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut draw = |n: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state % n as u64) as usize
    };
    let mut read_well = 0;
    for seed in seeds {
        for _ in 0..1500 {
            let mut bytes = seed.as_bytes().to_vec();
            for _ in 0..=draw(3) {
                let at = draw(bytes.len());
                match draw(4) {
                    0 => bytes[at] = bits[draw(bits.len())],
                    1 => bytes.insert(at, bits[draw(bits.len())]),
                    2 => {
                        bytes.remove(at);
                    }
                    _ => {
                        let to = draw(bytes.len());
                        bytes.swap(at, to);
                    }
                }
            }
            if let Ok(reading) =
                survey::read_bytes(&bytes, "bent.csv", None, &ReadOptions::default())
            {
                read_well += 1;
                let Data::Book(book) = reading.data else {
                    continue;
                };
                let points = book.points.len();
                assert!(
                    book.points
                        .iter()
                        .all(|p| p.height_m.is_none_or(f64::is_finite)
                            && p.sd_m.is_finite()
                            && p.sd_m >= 0.0)
                );
                assert!(
                    book.factors
                        .iter()
                        .all(|f| f.len() == points && f.iter().all(|x| x.is_finite()))
                );
            }
        }
    }
    assert!(
        read_well > 1000,
        "the mutants hardly reach past the door: {read_well}"
    );
}

#[test]
fn a_book_in_feet_is_told_in_feet() {
    let text = "station_ft,bs_ft,is_ft,fs_ft,elevation_ft\n0,5.00,,,100\n100,4.00,,7.25,\n200,,,8.00,93.74\n";
    let reading = read(text).unwrap();
    let metres = |t: &str| {
        t.split_whitespace()
            .any(|w| matches!(w.trim_matches(|c: char| !c.is_alphanumeric()), "m" | "mm"))
    };
    assert!(reading.remarks.iter().any(|r| r.text.contains(" ft")));
    assert!(
        reading.remarks.iter().all(|r| !metres(&r.text)),
        "{:?}",
        reading.remarks
    );
    for bad in [
        text.replace("7.25", "17.25"),
        text.replace("93.74", "91.2"),
        "from,to,slope_ft,rise_ft\nA,B,3,-4\n".to_owned(),
        "station_ft,height_ft\n0,10\n10,90\n".to_owned(),
    ] {
        let fault = read(&bad).unwrap_err().to_string();
        assert!(!metres(&fault) && fault.contains(" ft"), "{fault}");
    }
}

#[test]
fn a_station_that_goes_back_is_told() {
    let route = |text: &str| {
        let options = steadyfall::route::RouteOptions {
            along_slope: Some(true),
            ..Default::default()
        };
        steadyfall::route::Route::from(&[read(text).unwrap()], &options).unwrap()
    };
    let back = "station_m,height_m\n0,100\n20,99\n15,98\n40,96\n60,95\n";
    let remarks = route(back).remarks;
    let told = remarks
        .iter()
        .find(|r| r.text.contains("change direction here"));
    assert_eq!(told.unwrap().place.line, Some(4));
    for straight in [
        "station_m,height_m\n0,100\n20,99\n40,96\n",
        "station_m,height_m\n40,96\n20,99\n0,100\n",
    ] {
        let remarks = route(straight).remarks;
        assert!(!remarks.iter().any(|r| r.text.contains("change direction")));
    }
}
