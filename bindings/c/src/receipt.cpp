// Entry points: receipts. Made without the receipt component they say so.
#include "deciding.hpp"

#ifdef TOPRAIL_WITH_RECEIPT
#include <toprail/receipt.hpp>
#endif

using namespace toprail::c;

#ifdef TOPRAIL_WITH_RECEIPT

namespace {

struct HeldMaker : Held {
    explicit HeldMaker(const toprail::Shelf& shelf) : maker(shelf) {}
    const toprail::ReceiptMaker maker;
};

toprail::ReceiptOptions receipt_options(const toprail_receipt_options* from) {
    const toprail_receipt_options given = options(from);
    toprail::ReceiptOptions how;
    if (given.seed != nullptr) {
        std::copy_n(given.seed, how.seed.emplace().size(), how.seed->begin());
    }
    return how;
}

}  // namespace

#endif

extern "C" {

toprail_status toprail_receipt_maker_new(const toprail_shelf* shelf,
                                         toprail_receipt_maker** maker) {
    return entry([&] {
        place(maker) = nullptr;
        const auto with = held<HeldShelf>(shelf);
#ifdef TOPRAIL_WITH_RECEIPT
        *maker = Kept<toprail_receipt_maker>(std::make_shared<HeldMaker>(with->shelf)).release();
        return TOPRAIL_OK;
#else
        refuse(TOPRAIL_NOT_BUILT, "this library was made without receipts");
#endif
    });
}

toprail_status toprail_receipt_make([[maybe_unused]] const toprail_receipt_maker* maker,
                                    [[maybe_unused]] const toprail_facts* facts,
                                    [[maybe_unused]] toprail_text day,
                                    [[maybe_unused]] const toprail_decide_options* how,
                                    [[maybe_unused]] toprail_text case_name,
                                    [[maybe_unused]] const toprail_receipt_options* receipt,
                                    [[maybe_unused]] toprail_buffer* buffer,
                                    toprail_decision** decision, toprail_findings** findings) {
    return entry([&] {
        if (findings != nullptr) {
            *findings = nullptr;
        }
        if (decision != nullptr) {
            *decision = nullptr;
        }
#ifdef TOPRAIL_WITH_RECEIPT
        const auto with = held<HeldMaker>(maker);
        const auto about = held<HeldFacts>(facts);
        const auto to = held<HeldBuffer>(buffer);
        toprail::MadeReceipt made =
            with->maker.make(about->facts, read_day(day), decide_options(how),
                             std::string(view(case_name)), receipt_options(receipt));
        // First what may fail and can be undone, then the handles.
        const std::size_t before = to->text.size();
        to->text += made.text;
        try {
            return hand_out_answer({std::move(made.decision), std::move(made.findings)}, decision,
                                   findings);
        } catch (...) {
            to->text.resize(before);
            throw;
        }
#else
        refuse(TOPRAIL_NOT_BUILT, "this library was made without receipts");
#endif
    });
}
}
