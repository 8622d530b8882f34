// Entry points: invent, load.
#include "invented.hpp"

#include <cstdint>
#include <random>
#include <stdexcept>

namespace bench {
namespace {

constexpr std::size_t choices = 9;
constexpr std::size_t flags = 9;
constexpr std::size_t lengths = 6;
constexpr std::size_t sentences = 47;
constexpr std::size_t conditions = 30;
const std::string words = "reads: r, ask: a, why: w}\n";

class Inventor {
  public:
    explicit Inventor(const InventedSize& size) : size_(size) {}

    std::vector<toprail::SourceText> run() {
        for (std::size_t i = 0; i < sentences; ++i) {
            pool_.push_back(sentence(i));
        }
        std::vector<toprail::SourceText> texts{{"invented/vocabulary.yaml", vocabulary()}};
        for (std::size_t a = 0; a < size_.authorities; ++a) {
            texts.push_back({"invented/" + authority(a) + ".yaml", pack(a)});
        }
        if (size_.by_place) {
            texts.push_back({"invented/governing.yaml", governing()});
        }
        return texts;
    }

  private:
    // Not a distribution of the standard library: those differ between its makers.
    std::size_t draw(std::size_t count) { return static_cast<std::size_t>(random_() % count); }

    static std::string number(std::size_t n) { return std::to_string(n); }
    static std::string authority(std::size_t a) { return "invented.a" + number(a); }

    static std::size_t values_of(std::size_t choice) { return 3 + choice % 5; }

    static std::string value(std::size_t choice, std::size_t v) {
        return "v" + number(choice) + "-" + number(v);
    }

    // Each holds in about a third of all cases: most provisions fall, and outcomes differ.
    std::string sentence(std::size_t at) {
        const std::size_t kind = at % 3;
        if (kind == 0) {
            const std::size_t choice = at / 3 % choices;
            const std::size_t count = values_of(choice);
            const std::size_t first = draw(count);
            std::string list;
            for (std::size_t i = 0; i < (count + 1) / 3; ++i) {
                list += (i == 0 ? "" : ", ") + value(choice, (first + i) % count);
            }
            return "kind-" + number(choice) + " is one of [" + list + "]";
        }
        if (kind == 1) {
            const std::string name = "length-" + number(at / 3 % lengths);
            return draw(2) == 0 ? name + " is at least " + number(70 + draw(25)) + " ft"
                                : name + " is less than " + number(6 + draw(25)) + " ft";
        }
        return (draw(2) == 0 ? "" : "not ") + std::string("flag-") + number(at / 3 % flags);
    }

    std::string quoted(const std::string& text) const { return "\"" + text + "\""; }

    std::string vocabulary() {
        std::string out =
            "vocabulary: invented\ntitle: Invented words\nstandings:\n"
            "  regulation: {rank: 1, may: [require, relax, limit, explain]}\nfacts:\n";
        for (std::size_t c = 0; c < choices; ++c) {
            out += "  kind-" + number(c) + ": {type: choice, values: [";
            for (std::size_t v = 0; v < values_of(c); ++v) {
                out += (v == 0 ? "" : ", ") + value(c, v);
            }
            out += "], " + words;
        }
        for (std::size_t l = 0; l < lengths; ++l) {
            out += "  length-" + number(l) + ": {type: length, unit: ft, from: 0 ft, to: 100 ft, " +
                   words;
        }
        for (std::size_t f = 0; f < flags; ++f) {
            out += "  flag-" + number(f) + ": {type: yes-no, " + words;
        }
        if (size_.by_place) {
            out += "  place: {type: choice, values: [";
            for (std::size_t a = 0; a < size_.authorities; ++a) {
                out += (a == 0 ? "" : ", ") + ("place-" + number(a));
            }
            out += "], " + words;
        }
        out += "duties:\n  tie-off: {asks: a, reads: tie-off}\nconditions:\n";
        for (std::size_t c = 0; c < conditions; ++c) {
            out += "  c" + number(c) + ": {reads: r, " + (c % 4 == 3 ? "any-of" : "all-of") +
                   ": [" + quoted(pool_[draw(sentences)]) + ", " +
                   (c >= 10 && draw(2) == 0 ? "c" + number(draw(10)) : quoted(pool_[c])) + "]}\n";
        }
        return out;
    }

    // 2 to 5 parts: sentences and shared conditions.
    std::string where() {
        std::string out = "{all-of: [";
        const std::size_t count = 2 + draw(4);
        for (std::size_t i = 0; i < count; ++i) {
            out += i == 0 ? "" : ", ";
            out += draw(2) == 0 ? "c" + number(draw(conditions)) : quoted(pool_[draw(sentences)]);
        }
        return out + "]}";
    }

    // Half of them require, then some free from it and displace one that requires, then exceptions.
    std::string effect(std::size_t a, std::size_t p) {
        const std::size_t each = size_.provisions_each;
        const std::size_t requiring = (each + 1) / 2;
        if (p < requiring) {
            return "duty: tie-off, calls-for: required";
        }
        if (p < each - each / 6) {
            const std::size_t other = draw(a + 1);
            const std::string prefix = other == a ? "" : authority(other) + "/";
            return "duty: tie-off, calls-for: not required, displaces: [" + prefix + "p" +
                   number(draw(requiring)) + "]";
        }
        return "relaxes: [p" + number(draw(requiring)) + "], terms: t";
    }

    std::string pack(std::size_t a) {
        std::string out = "rulepack: " + authority(a) +
                          "\ntitle: t\nformat: 1\nstanding: regulation\nvocabulary: [invented]\n"
                          "edition: {from: 2000-01-01, verified-through: 2030-01-01, picked-by: "
                          "work-date}\nprovisions:\n";
        for (std::size_t p = 0; p < size_.provisions_each; ++p) {
            out += "  - {id: p" + number(p) +
                   ", cite: " + quoted("Part " + number(a + 1) + ", " + number(p + 1)) +
                   ", source: read, gist: g, where: " + where() + ", " + effect(a, p) + "}\n";
        }
        return out;
    }

    std::string governing() const {
        std::string out =
            "rulepack: invented.governing\ntitle: t\nformat: 1\nstanding: regulation\n"
            "vocabulary: [invented]\nedition: {from: 2000-01-01, verified-through: "
            "2030-01-01, picked-by: work-date}\nprovisions:\n";
        for (std::size_t a = 0; a < size_.authorities; ++a) {
            out += "  - {id: g" + number(a) + ", cite: c, source: read, gist: g, where: " +
                   quoted("place is place-" + number(a)) + ", governs: " + authority(a) + "}\n";
        }
        return out;
    }

    InventedSize size_;
    std::mt19937_64 random_{3};
    std::vector<std::string> pool_;
};

}  // namespace

std::vector<toprail::SourceText> invent(const InventedSize& size) {
    return Inventor(size).run();
}

toprail::Shelf load(const std::vector<toprail::SourceText>& texts) {
    toprail::LoadedShelf loaded = toprail::load_shelf(texts);
    if (!loaded.shelf) {
        throw std::runtime_error(toprail::render_text(loaded.findings.front()));
    }
    return *loaded.shelf;
}

}  // namespace bench
