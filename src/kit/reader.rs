//! From the values of a kit file to a [`Kit`], with the rules that need more than one key.

use super::designation::is_inch;
use super::dowel::{Dowel, same_diameter};
use super::fitted;
use super::heads;
use super::idle::idle_in;
use super::nut::{self, AskedNut};
use super::second::{self, article};
use super::spanner;
use super::spring;
use super::words::{HeadKind, LayoutKind, word};
use super::{
    BoughtNut, Crank, GivenPerimeters, GivenSizes, Head, Hexagon, JointGap, Kit, Knob, Load,
    Mechanism, Nested, Nut, Odds, Opposed, Pins, Prices, Said, Single, Spring, Tandem, Tommy,
    Waiver, WantedGaps, key,
};
use crate::assembly::Perimeters;
use crate::declared::{self, Context, Key, Quantity, Raw, Units, Value, closest};
use crate::diagnostic::Diagnostic;
use crate::thread::Thread;
use crate::units::Length;
use std::ops::Range;

/// A kit file that is being read.
pub(super) struct Reader<'r, 'a> {
    declared: &'r mut declared::Reader<'a>,
}

impl<'r, 'a> Reader<'r, 'a> {
    /// With the units of the file known.
    pub(super) fn new(declared: &'r mut declared::Reader<'a>) -> Self {
        let mut reader = Self { declared };
        let units = reader.take(&key::UNITS);
        let said = units.as_ref().is_some_and(|units| units.at.is_some());
        let absent = || reader.declared.tree.is_absent(key::UNITS.path);
        let units_known = said || units.is_some() && absent();
        reader.declared.context = Context {
            units: units.map_or(Units::Mm, |units| units.value),
            units_known,
            inches_likely: units_known && !said && reader.threads_in_inches(),
        };
        reader
    }

    /// The kit, or `None` where there is a problem with it.
    pub(super) fn kit(&mut self, known_checks: &[&str]) -> Option<Kit> {
        let name = self.take(&key::NAME);
        let layout = self.take(&key::LAYOUT);
        let kind = layout.as_ref().map(|layout| layout.value);
        self.refuse_idle(layout.as_ref().map(|layout| layout.value));
        let drive = self.take(&key::DRIVE);
        let mechanism = self.mechanism(layout, drive.as_ref());
        let stroke = self.take(&key::STROKE);
        let net_lead = self.take(&key::NET_LEAD);
        let advance = self.take(&key::ADVANCE);
        let head = self.head();
        let end = self.take(&key::END);
        let mount = self.take(&key::MOUNT);
        if let Some(mechanism) = &mechanism {
            self.declared.problems.extend(fitted::problems(
                mechanism,
                end.as_ref(),
                mount.as_ref(),
            ));
            let idle = fitted::idle(self.declared.tree, mechanism, end.as_ref());
            self.declared.problems.extend(idle);
        }
        let dial = self.take(&key::DIAL);
        let pins = self.pins();
        let gaps = self.gaps();
        let prices = self.prices();
        let odds_warn = self.take(&key::ODDS_WARN);
        let odds_fail = self.take(&key::ODDS_FAIL);
        let layer = self.take(&key::LAYER);
        let line = self.take(&key::LINE);
        let walls = self.take(&key::WALLS);
        let perimeters = self.perimeters();
        let printer = self.take(&key::PRINTER);
        let bed = self.take(&key::BED);
        let slender = self.take(&key::SLENDER);
        let material = self.take(&key::MATERIAL);
        let hand_torque = self.take(&key::HAND_TORQUE);
        let load = self.load();
        let spring = self.spring(kind);
        let friction = self.take(&key::FRICTION);
        let grease = self.take(&key::GREASE);
        if let (Some(_), Some(grease)) = (&friction, &grease) {
            self.warn_of_grease(grease);
        }
        let tolerance = self.take(&key::TOLERANCE);
        let sizes = self.sizes();
        let waive = self.waivers(known_checks);
        if let Some(drive) = &drive {
            self.warn_of_inches(drive);
        }
        Some(Kit {
            name: name?,
            inches: self.declared.context.units == Units::Inch,
            mechanism: mechanism?,
            stroke: stroke?,
            net_lead,
            advance,
            head: head?,
            end: end?,
            mount: mount?,
            dial,
            pins: pins?,
            gaps: gaps?,
            odds: Odds {
                warn: odds_warn?,
                fail: odds_fail?,
            },
            prices: prices?,
            layer: layer?,
            line: line?,
            walls: walls?,
            perimeters,
            printer,
            bed: bed?,
            slender: slender?,
            hand_torque: hand_torque?,
            load: load?,
            spring: spring?,
            friction,
            grease: grease?,
            tolerance: tolerance?,
            material: material?,
            sizes,
            named: true,
            waive,
            said: std::mem::take(&mut self.declared.said),
        })
    }

    fn take<T: Value>(&mut self, key: &Key<T>) -> Option<Said<T>> {
        self.declared.take(key)
    }

    /// The mechanism with its threads and, in a tandem layout, its nut.
    fn mechanism(
        &mut self,
        layout: Option<Said<LayoutKind>>,
        drive: Option<&Said<Thread>>,
    ) -> Option<Mechanism> {
        // All threads are read, so that what is wrong with one is told whatever the layout.
        let inner = self.take(&key::INNER).map(|inner| inner.value);
        let thin = self.take(&key::THIN).map(|thin| thin.value);
        let far = self.take(&key::FAR).map(|far| far.value);
        let nut = self.take(&key::NUT);
        let layout = layout?;
        let wrong = second::problems(self.declared.tree, &layout);
        self.declared.problems.extend(wrong);
        let drive = drive.map(|drive| drive.value.clone());
        match layout.value {
            LayoutKind::Single => Some(Mechanism::Single(Single { drive: drive? })),
            LayoutKind::Nested => Some(Mechanism::Nested(Nested {
                drive: drive?,
                inner: inner?,
            })),
            LayoutKind::Tandem => {
                let nut = self.nut(nut, thin.as_ref())?;
                Some(Mechanism::Tandem(Tandem {
                    drive: drive?,
                    thin: thin?,
                    nut,
                }))
            }
            LayoutKind::Opposed => Some(Mechanism::Opposed(Opposed {
                drive: drive?,
                far: far?,
            })),
        }
    }

    /// The nut of a tandem layout; a bought one must fit its screw, and has no sizes to set.
    fn nut(&mut self, asked: Option<Said<AskedNut>>, thin: Option<&Thread>) -> Option<Nut> {
        let Some(asked) = asked else {
            return Some(Nut::Printed);
        };
        match nut::held(asked, thin?) {
            Ok(Nut::Printed) => Some(Nut::Printed),
            Ok(Nut::Bought(bought)) => {
                self.refuse_of_bought(&bought);
                Some(Nut::Bought(bought))
            }
            Err(problem) => {
                self.declared.problems.push(problem);
                None
            }
        }
    }

    /// Refuses what a kit says of a printed nut beside one to buy.
    fn refuse_of_bought(&mut self, bought: &BoughtNut) {
        let idle = [
            (
                key::NUT_HEIGHT.path,
                format!("{} gives its height", bought.standard),
            ),
            (key::PERIMETERS_NUT.path, "no walls are printed".to_owned()),
        ];
        for (path, why) in idle {
            let Some(value) = self.declared.tree.fields.get(path) else {
                continue;
            };
            let message = format!("`{path}` has no meaning for a nut to buy: {why}");
            self.declared.problems.push(
                Diagnostic::error(message, value.span())
                    .label("changes nothing")
                    .mend(format!(
                        "remove `{path}`, or write `nut = \"printed\"` to print the nut"
                    )),
            );
        }
    }

    /// Refuses keys that change nothing in a layout.
    fn refuse_idle(&mut self, layout: Option<LayoutKind>) {
        let Some(layout) = layout else { return };
        for (path, user) in idle_in(layout) {
            let Some(value) = self.declared.tree.fields.get(path) else {
                continue;
            };
            let (a, word_of) = (article(layout), word(layout));
            let message = format!("`{path}` has no meaning in {a} {word_of} layout");
            let other = user.map_or_else(String::new, |user| {
                format!(", or write `layout = \"{}\"`", word(user))
            });
            self.declared.problems.push(
                Diagnostic::error(message, value.span())
                    .label("changes nothing")
                    .mend(format!("remove `{path}`{other}")),
            );
        }
    }

    fn head(&mut self) -> Option<Head> {
        let kind = self.take(&key::HEAD_KIND);
        let across_flats = self.take(&key::HEAD_ACROSS_FLATS);
        let diameter = self.take(&key::HEAD_DIAMETER);
        let bar = self.take(&key::HEAD_BAR);
        let arm = self.take(&key::HEAD_ARM);
        let height = self.take(&key::HEAD_HEIGHT);
        let kind = kind?;
        let idle = heads::problems(self.declared.tree, &kind);
        self.declared.problems.extend(idle);
        Some(match kind.value {
            HeadKind::Hexagon => {
                let near = across_flats.as_ref();
                let near = near.and_then(|said| spanner::between_systems(said, self.units()));
                self.declared.problems.extend(near);
                Head::Hexagon(Hexagon {
                    across_flats,
                    height,
                })
            }
            HeadKind::Knob => Head::Knob(Knob { diameter, height }),
            HeadKind::Tommy => Head::Tommy(Tommy {
                diameter,
                height,
                bar,
            }),
            HeadKind::Crank => Head::Crank(Crank {
                diameter,
                height,
                arm,
            }),
        })
    }

    fn units(&self) -> Units {
        self.declared.context.units
    }

    /// The pins: bought ones set the diameter.
    fn pins(&mut self) -> Option<Pins> {
        let diameter = self.take(&key::PINS_DIAMETER);
        let buy = self.take(&key::PINS_BUY);
        let held_by = self.take(&key::PINS_HELD_BY);
        let grades = self.take(&key::PINS_GRADES);
        let Some(buy) = buy else {
            return Some(Pins {
                diameter,
                buy: None,
                held_by: held_by?,
                grades: grades?,
            });
        };
        if let Some(at) = grades.as_ref().and_then(|grades| grades.at.clone()) {
            let message = "`pins.grades` has no meaning for pins to buy: a dowel comes in one size";
            self.declared.problems.push(
                Diagnostic::error(message, at)
                    .label("changes nothing")
                    .mend("remove `grades`, or remove `buy` to print the pins"),
            );
        }
        if let Some(diameter) = &diameter
            && !same_diameter(diameter.value, buy.diameter)
        {
            let units = self.declared.context.units;
            let (wanted, bought) = (diameter.show(units), buy.diameter.show(units));
            let message = format!("`pins.diameter` is {wanted}, but the pins to buy have {bought}");
            self.declared.problems.push(
                Diagnostic::error(message, diameter.at.clone().unwrap_or(0..0))
                    .label(format!("`buy` says \"{}\"", buy.written))
                    .mend("remove `diameter`; it follows from `buy`"),
            );
        }
        Some(Pins {
            diameter: Some(buy.as_ref().map(|dowel: &Dowel| dowel.diameter)),
            buy: Some(buy.map(|dowel| dowel.written)),
            held_by: held_by?,
            grades: Said::default_value(false),
        })
    }

    fn gaps(&mut self) -> Option<WantedGaps> {
        let thread = self.take(&key::GAP_THREAD);
        let slide = self.take(&key::GAP_SLIDE);
        let locate = self.take(&key::GAP_LOCATE);
        let swivel = self.take(&key::GAP_SWIVEL);
        let press = self.take(&key::GAP_PRESS);
        let seat = self.take(&key::GAP_SEAT);
        Some(WantedGaps {
            thread,
            slide,
            locate,
            swivel,
            press,
            seat: seat?,
            joints: self.joint_gaps(),
            found: Vec::new(),
        })
    }

    fn prices(&mut self) -> Option<Prices> {
        let reprint = self.take(&key::PRICE_REPRINT);
        let fitting = self.take(&key::PRICE_FITTING);
        let play = self.take(&key::PRICE_PLAY);
        Some(Prices {
            reprint: reprint?,
            fitting: fitting?,
            play: play?,
        })
    }

    /// Which joints a mechanism has, its layout knows: it holds the names against them.
    fn joint_gaps(&mut self) -> Vec<JointGap> {
        let tree = self.declared.tree;
        let gap = |row: &_| self.declared.take_in(row, &key::GAP_JOINT);
        let rows = tree.rows(key::JOINT_GAPS);
        let wanted: Vec<_> = rows.iter().map(gap).collect();
        let joint = |(row, wanted): (&declared::Row<'_>, Option<Said<Length>>)| {
            Some(JointGap {
                joint: row.name.clone()?,
                wanted: wanted?,
            })
        };
        rows.iter().zip(wanted).filter_map(joint).collect()
    }

    /// The load: a force, or a table with more to say.
    fn load(&mut self) -> Option<Load> {
        let bare = self.take(&key::LOAD);
        let in_table = self.take(&key::LOAD_FORCE);
        let torque = self.take(&key::LOAD_TORQUE);
        let lasting = self.take(&key::LOAD_LASTING);
        let reserve = self.take(&key::LOAD_RESERVE);
        let offset = self.take(&key::LOAD_OFFSET);
        let force = bare.or(in_table);
        let lasting = lasting?;
        let tree = self.declared.tree;
        let no_load = [key::LOAD_FORCE.path, key::LOAD_TORQUE.path]
            .into_iter()
            .all(|path| !tree.fields.contains_key(path) && tree.is_absent(path));
        if *lasting && no_load {
            let at = lasting.at.clone().unwrap_or(0..0);
            self.declared.problems.push(
                Diagnostic::error("`load.lasting` is true, but there is no load to last", at)
                    .label("which load")
                    .mend("write `load = { force = \"50 N\", lasting = true }`"),
            );
        }
        Some(Load {
            force,
            torque,
            lasting,
            reserve: reserve?,
            offset: offset?,
        })
    }

    /// The preload spring: an inner none where the file says nothing of one.
    fn spring(&mut self, layout: Option<LayoutKind>) -> Option<Option<Spring>> {
        let tree = self.declared.tree;
        let asked = spring::Asked {
            wire: self.take(&key::SPRING_WIRE),
            outside: self.take(&key::SPRING_OUTSIDE),
            free: self.take(&key::SPRING_FREE),
            coils: self.take(&key::SPRING_COILS),
            rate: self.take(&key::SPRING_RATE),
            pull: self.take(&key::SPRING_PULL),
        };
        if !spring::is_there(tree) {
            return Some(None);
        }
        let units = self.declared.context.units;
        let problems = &mut self.declared.problems;
        spring::wound(asked, layout, tree, units, problems).map(Some)
    }

    fn perimeters(&mut self) -> GivenPerimeters {
        let inner = self.take(&key::PERIMETERS_INNER);
        let drive = self.take(&key::PERIMETERS_DRIVE);
        let frame = self.take(&key::PERIMETERS_FRAME);
        let carriage = self.take(&key::PERIMETERS_CARRIAGE);
        let keeper = self.take(&key::PERIMETERS_KEEPER);
        let nut = self.take(&key::PERIMETERS_NUT);
        GivenPerimeters {
            inner: inner.unwrap_or(Said::default_value(Perimeters::Solid)),
            drive,
            frame,
            carriage,
            keeper,
            nut: nut.unwrap_or(Said::default_value(Perimeters::Solid)),
        }
    }

    /// Warns of grease beside a friction, which leaves it nothing to say.
    fn warn_of_grease(&mut self, grease: &Said<bool>) {
        if **grease {
            let message = "`grease` changes nothing beside `friction`, which is taken as it is";
            self.declared.problems.push(
                Diagnostic::warning(message, grease.place())
                    .label("the friction is given already")
                    .mend("remove `friction` to have that of greased threads, or remove `grease`"),
            );
        }
    }

    fn sizes(&mut self) -> GivenSizes {
        GivenSizes {
            thread_gap: self.take(&key::THREAD_ROOM),
            tapped_wall: self.take(&key::TAPPED_WALL),
            drive_thread: self.take(&key::DRIVE_THREAD),
            inner_thread: self.take(&key::INNER_THREAD),
            bore: self.take(&key::BORE),
            collar: self.take(&key::COLLAR),
            carriage_diameter: self.take(&key::CARRIAGE_DIAMETER),
            carriage_length: self.take(&key::CARRIAGE_LENGTH),
            ear_width: self.take(&key::EAR_WIDTH),
            frame_side: self.take(&key::FRAME_SIDE),
            keeper_plug: self.take(&key::KEEPER_PLUG),
            thin_thread: self.take(&key::THIN_THREAD),
            nut: self.take(&key::NUT_HEIGHT),
            carriage_width: self.take(&key::CARRIAGE_WIDTH),
            throat: self.take(&key::THROAT),
        }
    }

    fn waivers(&mut self, known_checks: &[&str]) -> Vec<Waiver> {
        let tree = self.declared.tree;
        let mut waivers: Vec<Waiver> = Vec::new();
        for row in tree.rows(key::REPEATED) {
            let check = self.declared.take_in(row, &key::WAIVE_CHECK);
            let reason = self.declared.take_in(row, &key::WAIVE_REASON);
            let Some(check) = check else { continue };
            let at = check.at.clone().unwrap_or(0..0);
            if !known_checks.contains(&check.as_str()) {
                self.declared
                    .problems
                    .push(unknown_check(&check, at, known_checks));
            } else if waivers.iter().any(|waiver| *waiver.check == *check) {
                let message = format!("the check `{}` is waived twice", check.value);
                self.declared.problems.push(
                    Diagnostic::error(message, at)
                        .label("waived above already")
                        .mend("remove one of the two"),
                );
            } else if let Some(reason) = reason {
                waivers.push(Waiver { check, reason });
            }
        }
        waivers
    }

    /// Whether there is a thread, and every thread is in inches.
    fn threads_in_inches(&self) -> bool {
        let mut threads = [key::DRIVE.path, key::INNER.path, key::THIN.path]
            .into_iter()
            .filter_map(|path| self.declared.tree.fields.get(path)?.get_ref().as_str())
            .peekable();
        threads.peek().is_some() && threads.all(is_inch)
    }

    /// Warns of bare numbers that are too small for mm next to threads in inches.
    ///
    /// Too small is less than one pitch of the drive thread: no stroke, width or length of a
    /// part is that short, and inches read as mm come out 25.4 times too small.
    fn warn_of_inches(&mut self, drive: &Thread) {
        if !self.declared.context.inches_likely {
            return;
        }
        let tree = self.declared.tree;
        for (path, value) in &tree.fields {
            let judged = path == key::STROKE.path
                || ["head.", "sizes."]
                    .iter()
                    .any(|table| path.starts_with(table));
            let raw = Raw {
                path,
                value,
                text: tree.text,
            };
            // The limits do not matter here: a value beyond them has a problem already.
            let length = Length::read(raw, &key::STROKE.limits, self.declared.context);
            let Ok(length) = length else { continue };
            let has_problem = self
                .declared
                .problems
                .iter()
                .any(|problem| problem.at == Some(raw.at()));
            if judged && !has_problem && raw.is_bare() && length < drive.pitch() {
                let (name, shown) = (raw.leaf(), length.show(Units::Mm));
                let pitch = drive.pitch().show(Units::Mm);
                let message = format!(
                    "`{path}` is {shown}, less than one pitch of the drive thread, {pitch}"
                );
                self.declared.problems.push(
                    Diagnostic::warning(message, raw.at())
                        .label("bare numbers are mm, but the threads are in inches")
                        .mend(format!(
                            "write `units = \"inch\"` if bare numbers are inches, or \
                             `{name} = \"{shown}\"` to keep it"
                        )),
                );
            }
        }
    }
}

fn unknown_check(check: &str, at: Range<usize>, known: &[&str]) -> Diagnostic {
    let mend = match closest(check, known.iter().copied()) {
        Some(near) => format!("write `check = \"{near}\"`"),
        None if known.is_empty() => "remove the waiver; no check can be waived".to_owned(),
        None => format!("write one of {}", known.join(", ")),
    };
    Diagnostic::error(format!("there is no check `{check}`"), at)
        .label("not a known check")
        .mend(mend)
}
