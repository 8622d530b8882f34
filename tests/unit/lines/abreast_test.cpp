// Lines read abreast, by guessing how they are laid out, held against lines that are taken apart
// one by one by a reader that has seen nothing before.
#include "support/lines_apart.hpp"
#include "support/shelves.hpp"

#include <doctest/doctest.h>

#include <random>

namespace {

using namespace toprail;
using namespace toprail::lines;

const BulkPlan& plan() {
    static const BulkPlan made = [] {
        BulkOptions how;
        how.authorities = {"us.federal.construction"};
        return *plan_bulk(test::shipped_shelf(), *Date::parse("2024-06-01"), how).plan;
    }();
    return made;
}

void hold(const std::vector<std::string>& lines) {
    Batch batch(plan());
    std::vector<test::Came> expected;
    std::vector<std::string> told;
    for (const std::string& line : lines) {
        test::Came came = test::alone(plan(), line, batch);
        if (!came.blank) {
            expected.push_back(std::move(came));
            told.push_back(line);
        }
    }
    const test::LinesText text(lines);
    for (const test::Way& way : test::ways()) {
        const std::string name = way.name;
        CAPTURE(name);
        const std::vector<test::Came> came = test::together(plan(), text, way.read, batch);
        REQUIRE(came.size() == expected.size());
        for (std::size_t i = 0; i < came.size(); ++i) {
            CAPTURE(told[i]);
            CHECK(came[i].trouble == expected[i].trouble);
            CHECK(came[i].name == expected[i].name);
            CHECK(came[i].facts == expected[i].facts);
        }
    }
}

class Drawing {
  public:
    explicit Drawing(unsigned seed) : random_(seed) {
        for (const FactInfo& fact : test::shipped_shelf().facts()) {
            if (fact.type == "choice" || fact.type == "yes-no" || fact.type == "length") {
                known_.push_back(fact);
            }
        }
    }

    std::size_t below(std::size_t count) { return random_() % count; }

    /// Facts that the lines of a file give.
    std::vector<FactInfo> some_facts() {
        std::vector<FactInfo> all = known_;
        std::shuffle(all.begin(), all.end(), random_);
        all.erase(all.begin() + std::ptrdiff_t(2 + below(12)), all.end());
        return all;
    }

    std::string value(const FactInfo& fact) {
        switch (below(12)) {
        case 0:
            return "null";
        case 1:
            return "\"not known\"";
        default:
            break;
        }
        if (fact.type == "choice") {
            return "\"" + fact.values[below(fact.values.size())] + "\"";
        }
        if (fact.type == "yes-no") {
            const bool yes = below(2) == 0;
            return below(2) == 0 ? (yes ? "true" : "false") : (yes ? "\"yes\"" : "\"no\"");
        }
        return "\"" + std::to_string(below(60)) + (below(2) == 0 ? " ft\"" : " in\"");
    }

    std::string line(const std::vector<FactInfo>& facts, const std::string& space) {
        std::string all;
        for (const FactInfo& fact : facts) {
            const bool sourced = &fact == &facts[1];
            all += (all.empty() ? "" : "," + space) + "\"" + fact.name + "\":" + space +
                   (sourced ? "{\"value\":" : "") + value(fact) +
                   (sourced ? ",\"from\":\"" + std::string(below(40), 's') + "\"}" : "") +
                   (below(200) == 0 ? " " : "");
        }
        return "{\"case\":" + space + "\"" + std::string(below(70), 'c') + "\"," + space +
               "\"facts\":" + space + "{" + all + "}}";
    }

    /// A few bytes of it replaced, left out, put in, or said again.
    std::string spoilt(std::string line) {
        static const std::string odd("\0\"\\,{}[]: \t\r\x01\x1f\x7f\x80\xc3\xff"
                                     "0n",
                                     20);
        for (std::size_t times = 1 + below(2); times > 0 && !line.empty(); --times) {
            const std::size_t at = below(line.size());
            switch (below(6)) {
            case 0:
                line[at] = odd[below(odd.size())];
                break;
            case 1:
                line.erase(at, 1 + below(3));
                break;
            case 2:
                line.insert(at, 1 + below(40), odd[below(odd.size())]);
                break;
            case 3:
                line.insert(at, line.substr(below(line.size()), below(60)));
                break;
            case 4:
                line.resize(at);
                break;
            default:
                line[at] = static_cast<char>(line[at] ^ (1 << below(8)));
                break;
            }
        }
        for (char& c : line) {
            c = c == '\n' ? ' ' : c;
        }
        return line;
    }

  private:
    std::mt19937 random_;
    std::vector<FactInfo> known_;
};

TEST_CASE("lines abreast: what is read is what each line by itself comes to") {
    for (unsigned seed = 1; seed <= 6; ++seed) {
        Drawing draw(seed);
        std::vector<std::string> lines;
        const std::vector<FactInfo> facts = draw.some_facts();
        const std::vector<FactInfo> others = draw.some_facts();
        const std::string space = seed % 2 == 0 ? "" : " ";
        for (std::size_t i = 0; i < 150; ++i) {
            const bool other = seed % 3 == 0 && draw.below(20) == 0;
            lines.push_back(draw.below(60) == 0 ? std::string(draw.below(3), ' ')
                                                : draw.line(other ? others : facts, space));
        }
        hold(lines);
    }
}

TEST_CASE("lines abreast: spoilt lines are refused as they are by themselves") {
    for (unsigned seed = 11; seed <= 22; ++seed) {
        Drawing draw(seed);
        const std::vector<FactInfo> facts = draw.some_facts();
        std::vector<std::string> lines;
        for (std::size_t i = 0; i < 200; ++i) {
            const std::string line = draw.line(facts, seed % 2 == 0 ? "" : " ");
            // At first whole ones, so that the layout and the values are known.
            lines.push_back(i > 40 && draw.below(4) == 0 ? draw.spoilt(line) : line);
        }
        hold(lines);
    }
}

TEST_CASE("lines abreast: nothing hides behind a value that is known") {
    const std::string none(1, '\0');
    const auto line = [](const std::string& first, const std::string& second) {
        return R"({"case":"a","facts":{"gate-open":)" + first + R"(,"guardrail":)" + second + "}}";
    };
    const auto turned = [](const std::string& first, const std::string& second) {
        return R"({"case":"a","facts":{"guardrail":)" + first + R"(,"gate-open":)" + second + "}}";
    };
    const std::string complete = R"("complete")";
    std::vector<std::string> lines;
    for (const std::string value : {"true", "false", "null", "\"yes\"", "\"no\""}) {
        lines.insert(lines.end(), 8, line(value, complete));
        lines.insert(lines.end(), 8, turned(complete, value));
    }
    for (const unsigned zeros :
         {0U, 1U, 2U, 8U, 21U, 22U, 23U, 24U, 25U, 26U, 27U, 28U, 29U, 30U, 40U}) {
        std::string behind;
        for (unsigned i = 0; i < zeros; ++i) {
            behind += none;
        }
        for (const std::string value : {"true", "null", "\"yes\""}) {
            for (const std::string& odd :
                 {value + behind, value + "," + behind, value + "}" + behind, behind + value,
                  "\"" + behind, value + behind + "\""}) {
                lines.insert(lines.end(), 3, line("true", complete));
                lines.push_back(line(odd, complete));
                lines.push_back(line("true", complete));
                lines.push_back(line("true", "\"complete" + behind + "\""));
                lines.insert(lines.end(), 3, turned(complete, "true"));
                lines.push_back(turned(complete, odd));
            }
        }
    }
    REQUIRE(lines.size() < batch_lines);
    for (const std::string back : {"", "\\", "\\\\", "\\u0000"}) {
        lines.insert(lines.end(), 4, line("true", complete));
        lines.push_back(line("true", "\"complete" + back + "\""));
        lines.push_back(R"({"case":"a)" + back + R"(","facts":{"gate-open":true}})");
    }
    hold(lines);
}

TEST_CASE("lines abreast: more values of a fact than are kept") {
    std::vector<std::string> lines;
    for (std::size_t round = 0; round < 2; ++round) {
        for (std::size_t i = 0; i < 1'500; ++i) {
            lines.push_back(R"({"facts":{"platform-height":")" + std::to_string(i / 10) + "." +
                            std::to_string(i % 10) + " ft\"}}");
        }
    }
    hold(lines);
}

TEST_CASE("lines abreast: a token that was kept is found, and no other") {
    std::mt19937 random(5);
    Tokens tokens;
    std::vector<std::string> all;
    // In a line something stands before and behind.
    const auto in_line = [](const std::string& token) {
        return "\"fact\": " + token + "," + std::string(window_bytes, '"');
    };
    constexpr std::size_t before = 8;
    for (std::size_t i = 0; i < 600; ++i) {
        const std::string number = std::to_string(random() % 100'000);
        std::string token = i % 2 == 0 ? "\"" + number + " ft\"" : number;
        const std::string line = in_line(token);
        tokens.keep(line.data() + before, token.size(), static_cast<std::uint8_t>(i % 200));
        CHECK(tokens.look(line.data() + before, token.size()) == i % 200);
        all.push_back(std::move(token));
    }
    std::size_t found = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const std::string line = in_line(all[i]);
        const auto byte = tokens.look(line.data() + before, all[i].size());
        if (byte && std::count(all.begin(), all.end(), all[i]) == 1) {
            CHECK(*byte == i % 200);
            ++found;
        }
        std::string other = all[i];
        other[other.size() / 2] = 'x';
        const std::string other_line = in_line(other);
        CHECK(!tokens.look(other_line.data() + before, other.size()));
    }
    CHECK(found > all.size() / 2);
}

}  // namespace
