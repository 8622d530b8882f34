#include "findings/collector.hpp"
#include "findings/kinds.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

Finding one(const Source& source, Span span, std::string message) {
    span.source = &source;
    Findings findings;
    findings.add(Kind::unknown_name, span, std::move(message));
    return findings.take().front();
}

}  // namespace

TEST_CASE("render: place, message, marked line, help") {
    const Source source("pack.yaml", "first: line\nwhere: platfrom-height\n");
    Finding finding = one(source, {nullptr, 2, 8, 15}, "no fact is called \"platfrom-height\"");
    finding.help = "did you mean platform-height?";
    CHECK(render_text(finding) ==
          "pack.yaml, line 2, column 8: no fact is called \"platfrom-height\"  "
          "(error, unknown-name)\n"
          "     2 | where: platfrom-height\n"
          "                ~~~~~~~~~~~~~~~\n"
          "    help: did you mean platform-height?\n");
}

TEST_CASE("render: the other place stands below") {
    const Source source("pack.yaml", "id: a\nid: a\n");
    Finding finding = one(source, {nullptr, 2, 1, 2}, "twice");
    finding.others.push_back({place_of({&source, 1, 1, 2}), "first"});
    CHECK(render_text(finding) == "pack.yaml, line 2, column 1: twice  (error, unknown-name)\n"
                                  "     2 | id: a\n"
                                  "         ~~\n"
                                  "    first: pack.yaml, line 1, column 1\n"
                                  "     1 | id: a\n"
                                  "         ~~\n");
}

TEST_CASE("render: a file as a whole has no line") {
    Findings findings;
    findings.add(Kind::unreadable_file, {}, "cannot be read").place.file = "missing.yaml";
    CHECK(render_text(findings.take().front()) ==
          "missing.yaml: cannot be read  (error, unreadable-file)\n");
}

TEST_CASE("render: no place at all") {
    Findings findings;
    findings.add(Kind::unknown_authority, {}, "no authority is called \"x\"");
    CHECK(render_text(findings.take().front()) ==
          "no authority is called \"x\"  (error, unknown-authority)\n");
}

TEST_CASE("render: columns count characters and marks stand under them") {
    const Source source("p.yaml", "\tn\xC3\xA3o: \xE2\x80\xAE"
                                  "bad\n");
    const Finding finding = one(source, {nullptr, 1, 11, 3}, "bad");
    CHECK(finding.place.column == 8);
    CHECK(render_text(finding) == "p.yaml, line 1, column 8: bad  (error, unknown-name)\n"
                                  "     1 |  n\xC3\xA3o: <U+202E>bad\n"
                                  "                       ~~~\n");
}

TEST_CASE("render: a place past the end of its line is still marked") {
    const Source source("p.yaml", "abc\n");
    CHECK(render_text(one(source, {nullptr, 1, 4, 1}, "missing")) ==
          "p.yaml, line 1, column 4: missing  (error, unknown-name)\n"
          "     1 | abc\n"
          "            ~\n");
}

TEST_CASE("render: a message shows what it hides") {
    Findings findings;
    findings.add(Kind::unknown_fact, {}, "a\x1b[31m");
    CHECK(render_text(findings.take().front()) == "a<U+001B>[31m  (error, unknown-fact)\n");
}

TEST_CASE("render: a space that only looks like one is shown for what it is") {
    Finding finding;
    finding.code = "unknown-unit";
    finding.place = {"a.yaml", 1, 6, 2, "a: 15\u00a0ft\u3000up"};
    finding.message = "\"\u00a0ft\" is no unit";
    CHECK(render_text(finding) == "a.yaml, line 1, column 6: \"<U+00A0>ft\" is no unit  "
                                  "(error, unknown-unit)\n"
                                  "     1 | a: 15<U+00A0>ft<U+3000>up\n"
                                  "              ~~~~~~~~~\n");
}

TEST_CASE("source: lines with either kind of end") {
    const Source source("p.yaml", "one\r\ntwo\nthree");
    CHECK(source.line(1) == "one");
    CHECK(source.line(2) == "two");
    CHECK(source.line(3) == "three");
    CHECK(source.line(0).empty());
    CHECK(source.line(4).empty());
    CHECK(source.offset(2, 1) == 5);
    CHECK(source.offset(9, 9) == source.bytes().size());
}

TEST_CASE("findings: ordered by place, each once") {
    const Source b("b.yaml", "x\ny\n");
    const Source a("a.yaml", "x\n");
    Findings findings;
    findings.add(Kind::bad_name, {&b, 2, 1, 1}, "second");
    findings.add(Kind::bad_name, {&b, 1, 1, 1}, "first");
    findings.add(Kind::bad_name, {&b, 2, 1, 1}, "second");
    findings.add(Kind::unused_fact, {&a, 1, 1, 1}, "other file");
    CHECK(findings.any_error());
    const std::vector<Finding> all = findings.take();
    REQUIRE(all.size() == 3);
    CHECK(all[0].message == "other file");
    CHECK(all[1].message == "first");
    CHECK(all[2].message == "second");
    CHECK(has_error(all));
    CHECK_FALSE(has_error({all[0]}));
}

TEST_CASE("render: every severity has its word, and an empty file its place") {
    CHECK(word(Severity::error) == "error");
    CHECK(word(Severity::warning) == "warning");
    CHECK(word(Severity::note) == "note");
    CHECK(Source("empty.yaml", "").characters(0, 0) == 0);
}

TEST_CASE("render: what lies far to the right of a long line is told by its column alone") {
    const Source source("p.yaml", std::string(1'000'000, 'a') + "\n");
    const std::string beginning = std::string(400, 'a');
    CHECK(render_text(one(source, {nullptr, 1, 900'000, 7}, "here")) ==
          "p.yaml, line 1, column 900000: here  (error, unknown-name)\n     1 | " + beginning +
              " ...\n");
    CHECK(render_text(one(source, {nullptr, 1, 601, 1}, "here"))
              .ends_with("     1 | " + beginning + "\n" + std::string(609, ' ') + "~\n"));
    CHECK(render_text(one(source, {nullptr, 1, 602, 1}, "here"))
              .ends_with("     1 | " + beginning + " ...\n"));
}
