// Entry points: Tokens, Texts.
#include "lines/tokens.hpp"

#include "bulk/run.hpp"
#include "shelf/shelf_data.hpp"

namespace toprail::lines {
namespace {

// Past this many texts of a fact they are forgotten.
constexpr std::size_t most_kept = 50'000;

}  // namespace

void Tokens::keep(std::string_view token, std::uint8_t byte) {
    if (token.size() > token_bytes) {
        return;
    }
    std::array<char, token_bytes> padded{};
    token.copy(padded.data(), token.size());
    const Key key = key_of(padded.data(), token.size());
    const std::size_t place = place_of(key);
    // What stood there moves over, so that two values that share a place do not take turns.
    entries_[place ^ 1U] = entries_[place];
    entries_[place] = {key, token.size(), byte};
}

const Texts::Read& Texts::read(std::string_view text) {
    const auto found = known_.find(text);
    if (found != known_.end()) {
        return found->second;
    }
    if (known_.size() >= most_kept) {
        known_.clear();
    }
    Findings findings;
    const auto value = bind_fact(plan_->shelf.data().model, FactId(fact_), text, findings);
    Read read;
    if (value) {
        read.byte = bulk::class_byte(*plan_, fact_, *value);
    } else {
        const std::vector<Finding> all = findings.take();
        read.says = all.front().message;
        read.says += all.front().help.empty() ? "" : "; " + all.front().help;
    }
    return known_.emplace(std::string(text), std::move(read)).first->second;
}

}  // namespace toprail::lines
