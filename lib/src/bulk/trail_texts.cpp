// Entry point: render_trail_texts.
#include "bulk/trail_texts.hpp"

#include "bulk/plan_data.hpp"
#include "deciding/cautions.hpp"
#include "shelf/shelf_data.hpp"
#include "telling/json_writer.hpp"

#include <algorithm>

namespace toprail::bulk {
namespace {

class Rendering {
  public:
    explicit Rendering(BulkPlan::Data& data)
        : data_(data),
          model_(data.shelf.data().model),
          program_(data.shelf.data().program),
          texts_(data.texts) {}

    void run() {
        texts_.begin = piece("{\"on\":" + quoted(data_.circumstances.on.text()) + ",\"duties\":{");
        for (std::size_t d = 0; d < data_.duties.size(); ++d) {
            render_duty(d);
        }
        texts_.after_duties = piece("},\"trail\":");
        for (const ProvisionId id : data_.provisions) {
            render_row(id);
        }
        texts_.after_rows = piece("],\"cautions\":[");
        texts_.unverified =
            caution("unverified: this rests on text that nobody has compared with the source; "
                    "check the provisions whose source is neither read nor read-part");
        for (const AuthorityId id : data_.authorities) {
            render_dates(id);
        }
        for (const DutyId id : data_.duties) {
            texts_.contested.push_back(
                caution("contested: one authority both requires and frees from " +
                        model_[id].reads + "; the stricter stands"));
        }
        for (const AtOdds& at_odds : model_.at_odds) {
            texts_.at_odds.push_back(
                caution(std::string(toprail::at_odds) + at_odds.says + std::string(at_odds_end)));
        }
        texts_.nobody_governs =
            caution("no rulepack on the shelf governs this case: ask a competent person who does");
        texts_.end = piece(
            quoted("local codes, the maker's manual and the judgement of a competent or qualified "
                   "person on the site come before this answer; what is not addressed here is not "
                   "thereby allowed") +
            "]}");
        texts_.most = texts_.text.size() + piece_step;
        texts_.text.append(piece_step, ' ');
    }

  private:
    static std::string quoted(std::string_view text) {
        std::string out;
        JsonWriter(out).text(text);
        return out;
    }

    static std::string field(std::string_view name, std::string_view value) {
        return quoted(name) + ":" + quoted(value);
    }

    Piece piece(const std::string& text) {
        const Piece made{static_cast<std::uint32_t>(texts_.text.size()),
                         static_cast<std::uint32_t>(text.size())};
        texts_.text += text;
        return made;
    }

    Piece caution(const std::string& text) { return piece(quoted(text) + ","); }

    void render_duty(std::size_t duty) {
        const std::string name = (duty == 0 ? "" : ",") + quoted(data_.duty_names[duty]) + ":{" +
                                 quoted("outcome") + ":";
        std::array<Piece, pieces_of_duty> pieces;
        for (std::size_t outcome = 0; outcome < piece_open; ++outcome) {
            pieces[outcome] = piece(name + quoted(word(static_cast<Outcome>(outcome))) + "}");
        }
        for (std::size_t act = 0; piece_open + act < piece_no_answer; ++act) {
            pieces[piece_open + act] =
                piece(name + quoted(word(Outcome::undetermined)) + "," +
                      field("act-as-if", word(static_cast<Outcome>(act))) + "}");
        }
        pieces[piece_no_answer] = piece(name + quoted("no answer") + "}");
        texts_.duties.push_back(pieces);
    }

    // Told as a decision tells it: what is weighed in every case only where it may stand, or where
    // the host named its authority.
    [[nodiscard]] bool tells(ProvisionId id, Status status) const {
        const std::vector<bool>& named = data_.circumstances.named;
        if (!program_.provisions[id.value].always_weighed) {
            return true;
        }
        return named.empty() ? status != Status::falls
                             : named[model_[model_[id].pack].authority.value];
    }

    void render_row(ProvisionId id) {
        const Provision& provision = model_[id];
        TrailRow row;
        for (std::size_t s = 0; s < row.by_status.size(); ++s) {
            const auto status = static_cast<Status>(s);
            if (tells(id, status)) {
                row.by_status[s] =
                    piece(",{" + field("provision", model_.key(id)) + "," +
                          field("status", word(status)) + "," + field("cite", provision.cite) +
                          "," + field("source", word(provision.mark)) + "}");
            }
        }
        const AuthorityId authority = model_[provision.pack].authority;
        const auto at = std::find(data_.authorities.begin(), data_.authorities.end(), authority);
        row.governed_by = static_cast<std::uint32_t>(
            data_.provisions.size() + static_cast<std::size_t>(at - data_.authorities.begin()));
        row.always = program_.provisions[id.value].always_weighed;
        row.unverified = !verified(provision.mark) && provision.effect.kind != EffectKind::remark;
        texts_.rows.push_back(row);
    }

    void render_dates(AuthorityId id) {
        const Rulepack& last = model_[model_.authorities[id.value].editions.back()];
        const bool by_deciding_date = !last.edition_picked.picked_by.valid();
        Piece made;
        if (!by_deciding_date) {
            made = caution("the edition of " + last.id + " is picked by " +
                           model_[last.edition_picked.picked_by].name +
                           ": see up to when it was compared with its source");
        } else if (last.verified_through && data_.circumstances.on > *last.verified_through) {
            made = caution("not verified for this date: " + last.id +
                           " was compared with its source up to " + last.verified_through->text() +
                           ", work-date is " + data_.circumstances.on.text());
        }
        texts_.dated.push_back(made);
    }

    BulkPlan::Data& data_;
    const Model& model_;
    const Program& program_;
    TrailTexts& texts_;
};

}  // namespace

void render_trail_texts(BulkPlan::Data& data) {
    Rendering(data).run();
}

}  // namespace toprail::bulk
