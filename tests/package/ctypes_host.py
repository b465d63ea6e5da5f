"""Checks a job through the shared library with nothing but ctypes: ctypes_host.py LIBRARY."""

import ctypes
import json
import sys

JOB = json.dumps({"work": "new", "occupancy": "one_family_dwelling", "panels": [{"circuits": [
    {"breaker": "50 A", "receptacles": [
        {"configuration": "14-50R", "serves": "vehicle_charging", "location": "garage",
         "gfci": "none"}]}]}]}).encode()


class Text(ctypes.Structure):
    _fields_ = [("data", ctypes.c_char_p), ("size", ctypes.c_size_t)]


class Error(ctypes.Structure):
    _fields_ = [("status", ctypes.c_int), ("line", ctypes.c_uint32), ("column", ctypes.c_uint32),
                ("code", ctypes.c_char * 32), ("file", ctypes.c_char * 256),
                ("message", ctypes.c_char * 4096)]


def main() -> None:
    library = ctypes.CDLL(sys.argv[1])
    library.gr_version.restype = ctypes.c_char_p
    error = Error()

    def must(status: int) -> None:
        if status != 0:
            raise SystemExit(error.message.decode())

    book, job, report = ctypes.c_void_p(), ctypes.c_void_p(), ctypes.c_void_p()
    size = ctypes.c_size_t
    must(library.gr_book_open(b"nec-2020", size(8), None, size(0), None, ctypes.byref(book),
                              ctypes.byref(error)))
    must(library.gr_job_from_json(book, JOB, size(len(JOB)), None, size(0), ctypes.byref(job),
                                  ctypes.byref(error)))
    must(library.gr_check(job, None, ctypes.byref(report), ctypes.byref(error)))
    text = Text()
    must(library.gr_report_render(report, 0, None, ctypes.byref(text), ctypes.byref(error)))
    told = json.loads(ctypes.string_at(text.data, text.size))
    violated = {f["citation"] for f in told["findings"] if f["verdict"] == "violates"}
    assert "625.54" in violated, violated
    library.gr_report_free(report)
    library.gr_job_free(job)
    library.gr_book_free(book)
    nothing = ctypes.c_void_p()
    assert library.gr_book_open(b"nec-1881", size(8), None, size(0), None, ctypes.byref(nothing),
                                ctypes.byref(error)) == 1
    assert b"nec-1881" in error.message
    print(f"groundrule {library.gr_version().decode()}: {len(told['findings'])} findings, "
          f"{len(violated)} clauses violated")


if __name__ == "__main__":
    main()
