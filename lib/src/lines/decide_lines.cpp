// Entry point: decide_lines.
#include "findings/text.hpp"
#include "lines/blocks.hpp"
#include "lines/digests.hpp"
#include "lines/one_line.hpp"
#include "lines/writer.hpp"
#include "shelf/shelf_data.hpp"
#include "toprail/lines.hpp"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <new>
#include <system_error>
#include <thread>

namespace toprail {
namespace lines {
namespace {

constexpr std::size_t longest_message = 1000;

// Messages quote what a line holds, which may be anything, at any length.
std::string sayable(const std::string& says) {
    std::string shown = shown_on_one_line(says);
    return shown.size() <= longest_message ? shown
                                           : std::string(shorten(shown, longest_message)) + "...";
}

constexpr auto byte_open = static_cast<std::uint8_t>(Outcome::undetermined);

/// The name of a case, as it stands in its line. Refers to the block of the line.
struct Named {
    std::uint64_t line = 0;
    std::uint64_t digest = 0;
    std::string_view name;
};

/// What a thread made of a block.
struct Made {
    Written out;
    std::vector<BadLine> bad;
    std::vector<Named> names;  // where names are remembered
    std::uint64_t decided = 0;
    std::uint64_t undetermined = 0;
    std::uint64_t no_answer = 0;
    std::uint64_t last_line = 0;
    bool stop = false;
};

/// One thread's part: reads lines into columns, decides them, writes them out.
class LinesWorker {
  public:
    LinesWorker(const BulkPlan& plan, const Writer& writer, const LinesRun& run)
        : plan_(plan),
          writer_(writer),
          run_(run),
          reader_(plan, run.line_bytes, abreast_with(bulk::kernel_named(run.vectors).name)),
          batch_(plan),
          columns_(batch_.columns()),
          input_(plan.data(), columns_),
          outcomes_(plan.duties().size() * batch_lines),
          possible_(tells_more(run) && run.tell_possible ? outcomes_.size() : 0),
          cautions_(tells_more(run) && run.tell_cautions ? batch_lines : 0),
          worker_(plan.data(), input_, bulk::kernel_named(run.vectors), how_,
                  {outcomes_.data(), batch_lines, nullptr,
                   possible_.empty() ? nullptr : possible_.data()}) {
        how_.search = run.search;
        how_.budget = run.budget;
    }

    void work(const Block& block, Made& made) {
        made.out.size = 0;
        made.bad.clear();
        made.names.clear();
        made = Made{
            std::move(made.out), std::move(made.bad), std::move(made.names), 0, 0, 0, 0, false};
        std::uint64_t number = block.first_line;
        if (block.too_long) {
            batch_.numbers[0] = number;
            batch_.bad[0] = 1;
            batch_.troubles.emplace_back(0, "the line is longer than " +
                                                std::to_string(run_.line_bytes) + " bytes");
            batch_.count = 1;
        }
        made.last_line = number - (block.too_long ? 0 : 1);
        // Where this thread will most likely be next.
        const std::size_t ahead = block.in_place ? block_bytes * std::max(run_.threads, 1U) : 0;
        std::span<const Piece> lines = block.lines;
        const bool too_many = run_.most_lines != 0 && number + lines.size() > run_.most_lines + 1;
        if (too_many) {
            lines = lines.first(std::max(run_.most_lines + 1, number) - number);
        }
        while (!lines.empty() && !made.stop) {
            const std::size_t some = std::min(lines.size(), batch_lines - batch_.count);
            reader_.read(lines.first(some), block.room_end, ahead, number, batch_);
            number += some;
            made.last_line = number - 1;
            lines = lines.subspan(some);
            if (batch_.count == batch_lines) {
                finish(block, made);
            }
        }
        finish(block, made);
        made.stop = made.stop || too_many;
    }

  private:
    void finish(const Block& block, Made& made) {
        std::size_t count = batch_.count;
        if (count == 0) {
            return;
        }
        if (run_.stop_at_bad && !batch_.troubles.empty()) {
            count = batch_.troubles.front().first + 1;
            made.last_line = batch_.numbers[count - 1];
            made.stop = true;
        }
        worker_.decide(0, count);
        const std::size_t bad_before = made.bad.size();
        for (auto& [at, says] : batch_.troubles) {
            if (at < count) {
                made.bad.push_back(
                    {batch_.numbers[at], sayable(says), name_in(line_of(block, at))});
            }
        }
        for (std::size_t i = 0; i < count; ++i) {
            if (batch_.bad[i] == 0) {
                count_case(i, made);
            }
        }
        if (run_.names != 0) {
            list_names(count, made);
        }
        if (!cautions_.empty()) {
            find_cautions(block, count);
        }
        writer_.append(made.out, batch_, count,
                       {outcomes_.data(), batch_lines,
                        possible_.empty() ? nullptr : possible_.data(),
                        cautions_.empty() ? nullptr : &cautions_},
                       std::span(made.bad).subspan(bad_before));
        batch_.clear();
    }

    static bool tells_more(const LinesRun& run) { return run.format == LinesFormat::lines; }

    // What a case of the batch was read from, where that is still at hand.
    std::string_view line_of(const Block& block, std::size_t at) const {
        if (block.too_long) {
            return {};
        }
        const Piece& line = block.lines[batch_.numbers[at] - block.first_line];
        return {line.begin, line.end};
    }

    void list_names(std::size_t count, Made& made) const {
        for (std::size_t i = 0; i < count; ++i) {
            if (batch_.bad[i] == 0 && !batch_.names[i].empty()) {
                const std::string_view name = batch_.names[i];
                made.names.push_back(
                    {batch_.numbers[i], std::hash<std::string_view>{}(name), name});
            }
        }
    }

    void find_cautions(const Block& block, std::size_t count) {
        for (std::size_t i = 0; i < count; ++i) {
            if (batch_.bad[i] == 0) {
                cautions_[i] = cautions_of(line_of(block, i));
            }
        }
    }

    // Of the case decided by itself.
    std::vector<std::string> cautions_of(std::string_view line) const {
        const BulkPlan::Data& data = plan_.data();
        const Model& model = data.shelf.data().model;
        DecideOptions how;
        how.budget = run_.budget;
        for (std::size_t i = 0; i < data.circumstances.named.size(); ++i) {
            if (data.circumstances.named[i]) {
                how.authorities.push_back(model.authorities[i].id);
            }
        }
        Answer answer = data.shelf.decide(facts_in(line), data.circumstances.on, how);
        if (answer.decision) {
            return std::move(answer.decision->cautions);
        }
        std::vector<std::string> why;
        for (const Finding& finding : answer.findings) {
            why.push_back("no answer: " + finding.message);
        }
        return why;
    }

    void count_case(std::size_t at, Made& made) const {
        bool open = false;
        bool none = false;
        for (std::size_t d = 0; d < plan_.duties().size(); ++d) {
            open = open || outcomes_[d * batch_lines + at] == byte_open;
            none = none || outcomes_[d * batch_lines + at] == bulk_no_answer;
        }
        ++made.decided;
        made.undetermined += open ? 1 : 0;
        made.no_answer += none ? 1 : 0;
    }

    const BulkPlan& plan_;
    const Writer& writer_;
    const LinesRun& run_;
    BulkRun how_;
    Reader reader_;
    Batch batch_;
    std::vector<BulkColumn> columns_;
    bulk::Input input_;
    std::vector<std::uint8_t> outcomes_;
    std::vector<std::uint8_t> possible_;              // empty unless they are told
    std::vector<std::vector<std::string>> cautions_;  // likewise
    bulk::Worker worker_;
};

/// Threads take blocks in turn and write in the same turns: each holds one block, and order is
/// kept.
class Turns {
  public:
    Turns(const BulkPlan& plan, Blocks blocks, const LinesPorts& ports, const LinesRun& run)
        : plan_(plan),
          ports_(ports),
          run_(run),
          writer_(plan, run.format),
          blocks_(std::move(blocks)) {}

    LinesReport go() {
        report_.vectors = bulk::kernel_named(run_.vectors).name;
        write(writer_.heading());
        std::vector<std::thread> others;
        // Where the system gives no further thread, those that there are do the work.
        try {
            for (unsigned i = 1; i < run_.threads; ++i) {
                others.emplace_back([this] { work(); });
            }
        } catch (const std::system_error&) {
        } catch (const std::bad_alloc&) {
        }
        work();
        for (std::thread& other : others) {
            other.join();
        }
        if (trouble_) {
            std::rethrow_exception(trouble_);
        }
        return report_;
    }

  private:
    void work() {
        try {
            LinesWorker worker(plan_, writer_, run_);
            Block block;
            Made made;
            std::uint64_t turn = 0;
            while (take(block, turn)) {
                worker.work(block, made);
                give(made, turn);
            }
        } catch (...) {
            end(std::current_exception());
        }
    }

    bool take(Block& block, std::uint64_t& turn) {
        const std::lock_guard guard(reading_);
        if (done_ || !blocks_.next(block)) {
            return false;
        }
        turn = next_to_read_++;
        return true;
    }

    void give(const Made& made, std::uint64_t turn) {
        std::unique_lock guard(writing_);
        turned_.wait(guard, [&] { return next_to_write_ == turn || trouble_ != nullptr; });
        if (trouble_ == nullptr && !ended_) {
            write(made.out.text());
            report_.lines = made.last_line;
            report_.decided += made.decided;
            report_.undetermined += made.undetermined;
            report_.no_answer += made.no_answer;
            report_.bad += made.bad.size();
            for (std::size_t i = 0; ports_.bad && i < made.bad.size(); ++i) {
                ports_.bad(made.bad[i]);
            }
            for (std::size_t i = 0; i < made.names.size(); ++i) {
                names_.bring_nearer(made.names[std::min(i + 16, made.names.size() - 1)].digest);
                remember(made.names[i]);
            }
            if (run_.progress) {
                run_.progress(made.last_line);
            }
            if (made.stop) {
                report_.ended_early = ended_ = true;
            }
            done_ = done_ || ended_;
        }
        ++next_to_write_;
        turned_.notify_all();
    }

    // A digest takes the place of the name: two names that share one are told as the same, once in
    // some ten million runs of a million names.
    void remember(const Named& named) {
        if (names_.contains(named.digest)) {
            ++report_.repeated;
            if (ports_.repeated) {
                const std::string name = unescaped(named.name);
                ports_.repeated({named.line, "a case of this name stood on an earlier line", name});
            }
        } else if (names_.size() < run_.names) {
            names_.insert(named.digest);
        }
    }

    void write(std::string_view text) {
        if (!text.empty() && !ports_.write(text)) {
            report_.output_failed = report_.ended_early = ended_ = true;
            done_ = true;
        }
    }

    void end(std::exception_ptr trouble) {
        const std::lock_guard guard(writing_);
        trouble_ = trouble_ ? trouble_ : std::move(trouble);
        done_ = true;
        turned_.notify_all();
    }

    const BulkPlan& plan_;
    const LinesPorts& ports_;
    const LinesRun& run_;
    Writer writer_;

    std::mutex reading_;
    Blocks blocks_;
    std::uint64_t next_to_read_ = 0;
    std::atomic<bool> done_{false};

    std::mutex writing_;
    std::condition_variable turned_;
    std::uint64_t next_to_write_ = 0;
    bool ended_ = false;
    Digests names_;
    std::exception_ptr trouble_;
    LinesReport report_;
};

}  // namespace
}  // namespace lines

LinesReport decide_lines(const BulkPlan& plan, const LinesPorts& ports, const LinesRun& run) {
    return lines::Turns(plan, {ports.read, run.line_bytes, lines::Reader::padding()}, ports, run)
        .go();
}

LinesReport decide_lines(const BulkPlan& plan, std::string_view text, const LinesPorts& ports,
                         const LinesRun& run) {
    return lines::Turns(plan, {text, run.line_bytes, lines::Reader::padding()}, ports, run).go();
}

}  // namespace toprail
