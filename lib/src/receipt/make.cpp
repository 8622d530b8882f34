// Entry point: ReceiptMaker::make.
#include "findings/collector.hpp"
#include "findings/text.hpp"
#include "receipt/body.hpp"

namespace toprail {
namespace {

void hold_to_utf8(const std::string& text, const std::string& what, Findings& findings) {
    if (first_invalid_utf8(text)) {
        findings.add(Kind::not_utf8, {}, what + " is not valid UTF-8").help =
            "receipts hold texts as they were given; give it in UTF-8";
    }
}

void refuse(MadeReceipt& made, std::string message, std::string help) {
    Findings findings;
    findings.add(Kind::too_large, {}, std::move(message)).help = std::move(help);
    std::vector<Finding> more = findings.take();
    made.findings.insert(made.findings.end(), more.begin(), more.end());
}

}  // namespace

std::string_view engine_version() {
    return TOPRAIL_VERSION;
}

ReceiptMaker::ReceiptMaker(const Shelf& shelf)
    : data_(std::make_shared<const ReceiptMakerData>(receipt_maker_data(shelf))) {}

const Shelf& ReceiptMaker::shelf() const {
    return data_->shelf;
}

MadeReceipt ReceiptMaker::make(const Facts& facts, Date on, const DecideOptions& options,
                               const std::string& case_name, const ReceiptOptions& receipt) const {
    MadeReceipt made;
    Findings findings;
    hold_to_utf8(case_name, "the name of the case", findings);
    hold_to_utf8(receipt.site, "the name of the site", findings);
    hold_to_utf8(receipt.says, "the description of the case", findings);
    for (const FactEntry& fact : facts.entries()) {
        hold_to_utf8(fact.text, "the value of " + fact.name, findings);
        hold_to_utf8(fact.from, "the source of " + fact.name, findings);
    }
    if (findings.any_error()) {
        made.findings = findings.take();
        return made;
    }
    Answer answer = data_->shelf.decide(facts, on, options);
    made.findings = std::move(answer.findings);
    if (!answer.decision) {
        return made;
    }
    std::optional<Json> body =
        receipt_body(*data_, *answer.decision, options, {case_name, receipt.site, receipt.says},
                     engine_version());
    if (!body) {
        refuse(made, "a receipt of this case would be too large",
               "take quantities that rest on very many facts out of the rulepacks");
        return made;
    }
    made.text = seal(std::move(*body), receipt.seed);
    if (made.text.size() > Limits{}.bytes) {
        // A record that nobody reads is none.
        made.text.clear();
        refuse(made, "the receipt would have more bytes than are read",
               "shorten the name of the case, of the site, or the description");
        return made;
    }
    made.decision = std::move(answer.decision);
    return made;
}

}  // namespace toprail
