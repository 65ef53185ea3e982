//! Files that cannot be read or used, in words.

use super::Message;
use crate::route::syntax::Name;
use crate::route::uses::{Unread, UseFault};

/// A file that cannot be read.
pub fn unread(name: &str, why: &Unread) -> Message {
    match why {
        Unread::Missing { near } => {
            let message = Message::error("missing-file", format!("there is no file `{name}`"));
            match near {
                Some(near) => message.hint(format!("did you mean `{near}`?")),
                None => message.hint("check the spelling and the folder"),
            }
        }
        Unread::Folder => {
            Message::error("not-a-file", format!("`{name}` is a folder")).hint("name a file in it")
        }
        Unread::NotPlain => Message::error("not-a-file", format!("`{name}` is a pipe or a device"))
            .hint("a route uses plain files: save what comes from there as one"),
        Unread::Refused(fault) => Message::error(
            "unreadable-file",
            format!("`{name}` cannot be read: {fault}"),
        )
        .hint("check that it is a file and that you may read it"),
        Unread::NotText { byte, line } => Message::error(
            "not-text",
            format!("`{name}` is not text: byte {byte} (on line {line}) belongs to no character"),
        )
        .hint("save it as plain text in UTF-8"),
        Unread::TooLong(most) => {
            Message::error("too-large", format!("`{name}` is longer than {most} MiB")).hint(
                "split it, or give a list of equations to `aludel batch`, which reads any length",
            )
        }
        Unread::OutOfReach => Message::error(
            "unreadable-file",
            format!("`{name}` cannot be read from here"),
        )
        .hint("run the route from a file, or write out what it would bring"),
    }
}

/// A file that a route cannot use.
pub(super) fn unusable(path: &Name, why: &UseFault) -> Message {
    let message = match why {
        UseFault::Unread(why) => unread(&path.node, why),
        UseFault::Cycle(way) => Message::error(
            "use-cycle",
            format!(
                "these files use each other in a circle: {}",
                way.join(" → ")
            ),
        )
        .hint("move what both need into a file of its own"),
        UseFault::TooMany => Message::error("too-large", "this is one file too many").hint(
            "a route uses at most 256 files, at most 16 deep in each other: put several into one",
        ),
        UseFault::TooLongTogether(most) => Message::error(
            "too-large",
            format!(
                "with `{}` the route and what it uses are longer than {most} MiB",
                path.node
            ),
        )
        .hint("use fewer files, or split the route"),
    };
    message.at(path.span, "")
}
