#include "decide_lines.hpp"

#include <iostream>

#ifdef TOPRAIL_LINES
#include "toprail/lines.hpp"

#include <unistd.h>
#endif

namespace toprail::command {

void add_lines_options(CLI::App& verb, LinesOptions& options) {
    CLI::Option* const lines =
        verb.add_flag("--lines", options.lines,
                      "The facts file holds one case a line, as JSON; so does the answer, in the "
                      "same order. Outcomes, and what to act as if: for reasons decide the case by "
                      "itself");
    verb.add_option("--as", options.as, "With --lines: write lines of JSON, or columns")
        ->check(CLI::IsMember({"lines", "columns"}))
        ->needs(lines)
        ->capture_default_str();
    verb.add_option("--duty", options.duties,
                    "With --lines: a duty to answer; may be given several times. Without it, all")
        ->needs(lines);
    verb.add_option("--threads", options.threads, "With --lines: threads to work with")
        ->check(whole_number())
        ->check(CLI::Range(1, 256))
        ->needs(lines)
        ->capture_default_str();
    verb.add_flag("--cautions", options.cautions,
                  "With --lines: also decide every case by itself, and give its cautions. Many "
                  "times as slow; not with --as columns")
        ->needs(lines);
    verb.add_flag("--stop-at-bad", options.stop_at_bad,
                  "With --lines: end at the first line that cannot be used. Without it such a line "
                  "is reported, and the rest decided")
        ->needs(lines);
    verb.add_option("--line-bytes", options.line_bytes, "With --lines: longest line, in bytes")
        ->check(whole_number())
        ->check(CLI::Range(std::size_t{2}, std::size_t{1} << 28U))
        ->needs(lines)
        ->capture_default_str();
    verb.add_option("--most-lines", options.most_lines,
                    "With --lines: end after so many; 0: no limit")
        ->check(whole_number())
        ->needs(lines)
        ->capture_default_str();
}

bool looks_like_lines(const std::string& file, const std::string& text) {
    const auto named = [&file](std::string_view ending) { return file.ends_with(ending); };
    return named(".jsonl") || named(".ndjson") ||
           (text.starts_with('{') && text.find("}\n{") != std::string::npos);
}

#ifdef TOPRAIL_LINES

namespace {

// Names of cases that are remembered, to tell those that come again: some 40 MB.
constexpr std::size_t most_names = 1'000'000;
// Repeated names that are told one by one.
constexpr std::uint64_t most_told = 20;

// How far the work is, on a terminal. Seldom enough to cost nothing.
class Progress {
  public:
    void tell(std::size_t lines) {
        if (terminal_ && lines >= next_) {
            std::clog << "\rdecided " << lines << " lines" << std::flush;
            next_ = lines + step;
            told_ = true;
        }
    }
    void end() const {
        if (told_) {
            std::cerr << '\n';
        }
    }

  private:
    static constexpr std::size_t step = 100'000;
    bool terminal_ = ::isatty(STDERR_FILENO) != 0;
    bool told_ = false;
    std::size_t next_ = step;
};

std::size_t read_some(std::istream& from, char* to, std::size_t room) {
    from.read(to, static_cast<std::streamsize>(room));
    return static_cast<std::size_t>(from.gcount());
}

void tell_end(const LinesReport& report) {
    std::cerr << "toprail: " << report.decided << " cases decided";
    if (report.undetermined != 0) {
        std::cerr << ", " << report.undetermined
                  << " undetermined: until settled, act as if the strictest were so that is still "
                     "possible";
    }
    if (report.no_answer != 0) {
        std::cerr << ", " << report.no_answer << " without an answer (decide them by themselves)";
    }
    if (report.bad != 0) {
        std::cerr << ", " << report.bad << " lines could not be used";
    }
    if (report.repeated != 0) {
        std::cerr << ", " << report.repeated << " under a name that had come before";
    }
    std::cerr << (report.ended_early ? "; the run ended before the last line\n" : "\n")
              << "toprail: local codes, the maker's manual and the judgement of a competent or "
                 "qualified person on the site come before these answers; what is not addressed is "
                 "not thereby allowed\n";
}

}  // namespace

int decide_lines_of(const std::string& file, const Shelf& shelf, Date on, const DecideOptions& how,
                    const LinesOptions& options) {
    if (options.cautions && options.as == "columns") {
        std::cerr << "toprail: columns hold no cautions; leave out --as columns, or --cautions\n";
        return Exit::unusable;
    }
    std::ifstream opened;
    if (file != "-") {
        opened = open_file(file);
    }
    std::istream& stream = file == "-" ? std::cin : opened;
    const PlannedBulk planned = plan_bulk(shelf, on, {how.authorities, options.duties, false});
    print_findings(planned.findings);
    if (!planned.plan) {
        return Exit::unusable;
    }
    LinesRun run;
    run.format = options.as == "columns" ? LinesFormat::columns : LinesFormat::lines;
    run.budget = how.budget;
    run.threads = options.threads;
    run.stop_at_bad = options.stop_at_bad;
    run.line_bytes = options.line_bytes;
    run.most_lines = options.most_lines;
    run.tell_possible = true;
    run.tell_cautions = options.cautions;
    run.names = most_names;
    Progress progress;
    run.progress = [&progress](std::size_t lines) { progress.tell(lines); };
    LinesPorts ports;
    ports.read = [&stream](char* to, std::size_t room) { return read_some(stream, to, room); };
    ports.write = [](std::string_view text) {
        return static_cast<bool>(
            std::cout.write(text.data(), static_cast<std::streamsize>(text.size())));
    };
    const auto tell = [&file](const BadLine& line) {
        const std::string name = line.name.empty() ? "" : "case \"" + tell_line(line.name) + "\": ";
        std::cerr << tell_line(file) << ':' << line.line << ": " << name << tell_line(line.says)
                  << '\n';
    };
    ports.bad = tell;
    std::uint64_t told = 0;
    ports.repeated = [&](const BadLine& line) {
        if (++told <= most_told) {
            tell(line);
        }
    };
    const LinesReport report = decide_lines(*planned.plan, ports, run);
    progress.end();
    std::cout.flush();
    if (report.output_failed || !std::cout) {
        std::cerr << "toprail: the answer could not be written in full\n";
        return Exit::unusable;
    }
    if (stream.bad()) {
        std::cerr << "toprail: reading " << file << " failed\n";
        return Exit::unusable;
    }
    tell_end(report);
    // Without an answer there is nothing to act as if: decided by itself such a case is refused
    // too.
    if (report.bad != 0 || report.no_answer != 0 || report.ended_early) {
        return Exit::unusable;
    }
    return report.undetermined != 0 ? Exit::undetermined : Exit::done;
}

#else

int decide_lines_of(const std::string&, const Shelf&, Date, const DecideOptions&,
                    const LinesOptions&) {
    std::cerr << "toprail: this command was built without simdjson, which --lines needs: install "
                 "libsimdjson-dev and build again\n";
    return Exit::unusable;
}

#endif

}  // namespace toprail::command
