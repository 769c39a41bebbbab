"""The use cases without a window, for offices that script and for checking.

Nothing heavy is imported before the command is known.  JSON goes to standard output
alone; every fault is one line on standard error; a traceback never reaches a person.

What is written for people is in the language that LDAPP_LANGUAGE names.  With ``--json`` every
word is English, faults too, so that a script reads the same everywhere.
"""

from __future__ import annotations

import argparse
import contextlib
import datetime as dt
import getpass
import logging
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn

from ldapp import __version__
from ldapp.catalogues import speak_as_asked
from ldapp.command_reports import (
    print_array,
    print_invoice,
    print_json,
    print_kit,
    print_photos,
    print_totals,
)
from ldapp.command_words import argparse_speaking
from ldapp.errors import Cancelled, LdappError
from ldapp.fault_reports import keep_fault
from ldapp.language import SOURCE_LANGUAGE, language, languages, said, speak

DONE = 0
DOES_NOT_HOLD = 1
INPUT_WRONG = 2
MACHINE_LACKS = 3

Run = Callable[[argparse.Namespace], int]


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with a call in one line."""

    def error(self, message: str) -> NoReturn:
        self.exit(
            INPUT_WRONG,
            said("{program}: {message}. See {program} --help.", program=self.prog, message=message)
            + "\n",
        )


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one call of the command line; return its exit code."""
    logging.basicConfig(level=logging.CRITICAL)
    given = _file_means_open(arguments)
    try:
        _speak(given)
        with argparse_speaking():
            options = _make_parser().parse_args(given)
        run: Run = options.run
        return run(options)
    except LdappError as error:
        print(error, file=sys.stderr)
        return error.exit_code
    except (Cancelled, KeyboardInterrupt):
        print(said("Stopped; nothing was left half done."), file=sys.stderr)
        return INPUT_WRONG
    except BrokenPipeError:
        # The reader of our output went away; that is its business.
        with contextlib.suppress(OSError):
            sys.stderr.close()
        return DONE
    except OSError as error:
        print(_of_system(error), file=sys.stderr)
        return MACHINE_LACKS
    except Exception as error:  # noqa: BLE001 - the outermost door: a person gets a sentence
        print(keep_fault(error)[0], file=sys.stderr)
        return MACHINE_LACKS


def _of_system(error: OSError) -> str:
    reason = error.strerror or type(error).__name__
    if error.filename:
        return said(
            "{file}: {reason}. Choose another file or folder.", file=error.filename, reason=reason
        )
    return said("{reason}. Choose another file or folder.", reason=reason)


def _speak(given: Sequence[str]) -> None:
    """Speak the language that was asked for; whoever wants JSON gets all words in English."""
    speak_as_asked()
    if any(len(one) > len("--") and "--json".startswith(one) for one in given):
        speak(SOURCE_LANGUAGE)


def _file_means_open(arguments: Sequence[str] | None) -> list[str]:
    """Return the arguments with "open" before a file that stands where a command would.

    A desktop that opens a file with the program calls ``ldapp FILE``.
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given and Path(given[0]).suffix.lower() in (".json", ".zip"):
        return ["open", *given]
    return given


def _make_parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="ldapp",
        description=said(
            "Answer for rented film equipment: counts, dated photos, what is owed. "
            "Without a command it opens the window."
        ),
    )
    parser.add_argument(
        "--version",
        action="version",
        version=f"ldapp {__version__}",
        help=said("show program's version number and exit"),
    )
    parser.add_argument(
        "--library",
        dest="claims_folder",
        type=Path,
        metavar=said("FOLDER"),
        help=said("the folder that holds your claims"),
    )
    parser.add_argument(
        "--demo",
        nargs="?",
        const="",
        metavar=said("NAME"),
        help=said("open an invented demo claim"),
    )
    parser.set_defaults(run=_open_window)
    commands = parser.add_subparsers(metavar=said("COMMAND"), parser_class=_Parser)
    _add_open(commands)
    _add_photos(commands)
    _add_tables(commands)
    _add_reckon(commands)
    _add_dossier(commands)
    _add_bundle(commands)
    _add_demos(commands)
    return parser


def _json_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help=said("print JSON, and nothing else"))


def _claim_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "claim", type=Path, nargs="?", metavar=said("CLAIM.json"), help=said("a claim file")
    )
    parser.add_argument(
        "--demo",
        nargs="?",
        const="",
        metavar=said("NAME"),
        help=said("take an invented demo claim instead"),
    )


def _claim_path(options: argparse.Namespace) -> Path:
    """Return the claim file that is meant: the one named, or a demo's."""
    if options.demo is not None:
        from ldapp.casework.demo import demo_claim  # noqa: PLC0415 - only for demos

        return demo_claim(options.demo or None).path
    if options.claim is None:
        raise LdappError(said("Name a claim file, or give --demo for an invented claim."))
    path: Path = options.claim
    return path


# --- window -----------------------------------------------------------------------------


def _open_window(options: argparse.Namespace) -> int:
    from ldapp.app import run_window  # noqa: PLC0415 - Qt is loaded for the window alone

    demo: str | None = options.demo
    return run_window(library=options.claims_folder, demo=demo)


def _add_open(commands: Any) -> None:
    parser = commands.add_parser("open", help=said("open the window on a claim file or a bundle"))
    parser.add_argument(
        "file", type=Path, metavar=said("FILE"), help=said("a claim file or a bundle")
    )
    parser.set_defaults(run=_open_file)


def _open_file(options: argparse.Namespace) -> int:
    from ldapp.app import run_window  # noqa: PLC0415 - Qt is loaded for the window alone

    path: Path = options.file
    if not path.is_file():
        raise LdappError(
            said("{path}: there is no such file. Expected: a claim file or a bundle.", path=path)
        )
    return run_window(library=options.claims_folder, file=path)


# --- photos -----------------------------------------------------------------------------


def _add_photos(commands: Any) -> None:
    parser = commands.add_parser("photos", help=said("read photo files and verify their times"))
    parser.add_argument(
        "paths", nargs="+", type=Path, metavar=said("PATH"), help=said("files and folders")
    )
    parser.add_argument(
        "--zone", help=said("the IANA zone of the place, taken where a file names none")
    )
    parser.add_argument(
        "--pictures", action="store_true", help=said("decode every picture and compare its preview")
    )
    _json_option(parser)
    parser.set_defaults(run=_photos)


def _photos(options: argparse.Namespace) -> int:
    from ldapp.casework.photo_reports import photo_reports  # noqa: PLC0415 - only this command

    reports = photo_reports(options.paths, zone=options.zone, with_pictures=options.pictures)
    if options.json:
        print_array(reports)
    else:
        print_photos(reports)
    return DONE


# --- tables -----------------------------------------------------------------------------


def _add_tables(commands: Any) -> None:
    for name, says, run in (
        ("kit", said("read a kit list as the import would"), _kit),
        ("invoice", said("read an L&D invoice and check its arithmetic"), _invoice),
    ):
        parser = commands.add_parser(name, help=says)
        parser.add_argument("file", type=Path, metavar=said("FILE"))
        parser.add_argument(
            "--columns", type=Path, metavar=said("MATCH.json"), help=said("which column is what")
        )
        _json_option(parser)
        parser.set_defaults(run=run)


def _kit(options: argparse.Namespace) -> int:
    from ldapp.casework.tables import kit_list_report  # noqa: PLC0415 - only this command

    report = kit_list_report(options.file, options.columns)
    (print_json if options.json else print_kit)(report)
    return DOES_NOT_HOLD if report["faults"] else DONE


def _invoice(options: argparse.Namespace) -> int:
    from ldapp.casework.tables import invoice_report  # noqa: PLC0415 - only this command

    report = invoice_report(options.file, options.columns)
    (print_json if options.json else print_invoice)(report)
    return DOES_NOT_HOLD if report["faults"] else DONE


# --- reckoning --------------------------------------------------------------------------


def _add_reckon(commands: Any) -> None:
    parser = commands.add_parser("reckon", help=said("reckon a claim file"))
    _claim_argument(parser)
    _json_option(parser)
    parser.add_argument(
        "--date",
        type=_day,
        metavar=said("YYYY-MM-DD"),
        help=said("the day on which time limits are looked at; without it none has run out"),
    )
    parser.set_defaults(run=_reckon)


def _reckon(options: argparse.Namespace) -> int:
    from ldapp.casework.claim_files import reckon_claim_file  # noqa: PLC0415 - only here

    report = reckon_claim_file(_claim_path(options), options.date)
    (print_json if options.json else print_totals)(report)
    return DONE


# --- dossier ----------------------------------------------------------------------------


def _add_dossier(commands: Any) -> None:
    parser = commands.add_parser("dossier", help=said("write the dossier of a claim file as a PDF"))
    _claim_argument(parser)
    parser.add_argument(
        "--version", required=True, choices=["insurer", "dispute", "photos", "counts"]
    )
    parser.add_argument(
        "--out",
        required=True,
        type=Path,
        metavar=said("FILE.pdf"),
        help=said("further volumes are written beside it: 'FILE volume 2.pdf' and so on"),
    )
    parser.add_argument(
        "--date",
        type=_day,
        metavar=said("YYYY-MM-DD"),
        help=said("the date on it; today unless given"),
    )
    parser.add_argument(
        "--largest-file",
        type=_megabytes,
        default=20,
        metavar="MB",
        help=said("photos are made smaller to keep to it, then volumes are written (default: 20)"),
    )
    parser.add_argument(
        "--language",
        type=_language,
        metavar=said("CODE"),
        help=said(
            "the language in which it is written, such as 'de' (default: that of LDAPP_LANGUAGE)"
        ),
    )
    parser.add_argument(
        "--without-device-serials",
        action="store_true",
        help=said("tell nobody the serial numbers of cameras and phones"),
    )
    parser.add_argument(
        "--seal",
        type=Path,
        metavar=said("KEY.p12"),
        help=said(
            "sign it with the key in this PKCS#12 file; its password is asked, or "
            "taken from the first line of standard input"
        ),
    )
    parser.add_argument(
        "--time-stamp",
        default="",
        metavar=said("ADDRESS"),
        help=said(
            "ask the time-stamp authority at this address (RFC 3161) for a stamp on "
            "the signature; without it no connection is opened"
        ),
    )
    parser.set_defaults(run=_dossier)


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            said("{text} is no date like 2026-03-02", text=text)
        ) from None


def _language(text: str) -> str:
    known = languages()
    if text not in known:
        raise argparse.ArgumentTypeError(
            said("{text} is none of {allowed}", text=text, allowed=", ".join(known))
        )
    return text


def _megabytes(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text) < 100_000:
        raise argparse.ArgumentTypeError(
            said("{text} is no number of megabytes like 20", text=text)
        )
    return int(text)


def _dossier(options: argparse.Namespace) -> int:
    from ldapp.casework.claim_file_outputs import write_dossier_of_file  # noqa: PLC0415 - only here

    if options.time_stamp and options.seal is None:
        raise LdappError(said("A time stamp belongs to a signature: give --seal as well."))
    password = ""
    if options.seal is not None:
        from ldapp.casework.sealing import (  # noqa: PLC0415 - an extra
            check_key_file,
            sealed_says,
            sign_files,
        )

        password = _password(options.seal)
        # Before anything is written: an unsigned file must not pass for the signed one.
        check_key_file(options.seal, password, options.time_stamp)
    written = write_dossier_of_file(
        _claim_path(options),
        options.version,
        options.out,
        options.date,
        largest_file=options.largest_file * 1_000_000,
        device_serials=not options.without_device_serials,
        language=options.language or language(),
    )
    for path in written.paths:
        print(path)
    for sentence in written.short_of_complete:
        print(sentence)
    if options.seal is not None:
        signed = sign_files(written.paths, options.seal, password, options.time_stamp)
        for sentence in dict.fromkeys(map(sealed_says, signed)):
            print(sentence)
    return DONE


def _password(key_file: Path) -> str:
    """Ask for the password of a key; it is used once and kept nowhere."""
    if sys.stdin.isatty():
        return getpass.getpass(said("Password of {name}: ", name=key_file.name))
    return sys.stdin.readline().rstrip("\n")


# --- bundle -----------------------------------------------------------------------------


def _add_bundle(commands: Any) -> None:
    parser = commands.add_parser(
        "bundle", help=said("write claim, originals and dossier as one ZIP")
    )
    _claim_argument(parser)
    parser.add_argument("--out", required=True, type=Path, metavar=said("FILE.zip"))
    parser.add_argument(
        "--date",
        type=_day,
        metavar=said("YYYY-MM-DD"),
        help=said("the date on the dossier in it"),
    )
    parser.add_argument(
        "--profile",
        choices=["complete", "shared"],
        default="complete",
        help=said(
            "complete: everything with the untouched originals; shared: what may be "
            "passed on, with pictures made from the originals and their hashes"
        ),
    )
    parser.add_argument(
        "--version",
        choices=["insurer", "dispute", "photos", "counts"],
        default="insurer",
        help=said("the dossier in it; a shared bundle holds no more than its recipient may have"),
    )
    parser.set_defaults(run=_bundle)
    parser = commands.add_parser(
        "verify", help=said("verify a bundle, and name each file that differs")
    )
    parser.add_argument("file", type=Path, metavar=said("FILE.zip"))
    parser.set_defaults(run=_verify)


def _bundle(options: argparse.Namespace) -> int:
    from ldapp.casework.claim_file_outputs import write_bundle_of_file  # noqa: PLC0415 - only here

    print(
        write_bundle_of_file(
            _claim_path(options), options.out, options.date, options.profile, options.version
        )
    )
    return DONE


def _verify(options: argparse.Namespace) -> int:
    from ldapp.casework.claim_file_outputs import verify_bundle_file  # noqa: PLC0415 - only here

    differing = verify_bundle_file(options.file)
    for sentence in differing:
        print(sentence)
    if not differing:
        print(said("{file}: every file is as it was written.", file=options.file))
    return DOES_NOT_HOLD if differing else DONE


# --- demos ------------------------------------------------------------------------------


def _add_demos(commands: Any) -> None:
    parser = commands.add_parser("demos", help=said("list the invented demo claims"))
    parser.set_defaults(run=_demos)


def _demos(_: argparse.Namespace) -> int:
    from ldapp.casework.demo import demo_claims  # noqa: PLC0415 - only this command

    for one in demo_claims():
        print(f"{one.name}\t{one.title}\t{one.path}")
    return DONE
