// Signatures: on files, on receipts, and a shelf that takes signed packs only.
#include "receipt_support.hpp"

#include <sys/stat.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

namespace toprail::test {
namespace {

namespace fs = std::filesystem;

const KeyPair& approver() {
    static const KeyPair pair = new_key_pair();
    return pair;
}

/// The yard as files, each signed by the approver.
class SignedYard {
  public:
    SignedYard() {
        std::string name = (fs::temp_directory_path() / "toprail-signed-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
        for (const SourceText& text : yard_texts()) {
            write(text.name, text.text);
            write(text.name + ".signature", sign_file(text.text, approver().secret_key));
        }
    }
    ~SignedYard() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    SignedYard(const SignedYard&) = delete;
    SignedYard& operator=(const SignedYard&) = delete;

    [[nodiscard]] std::string path(const std::string& name) const { return path_ + "/" + name; }
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(path(name), std::ios::binary) << text;
    }
    [[nodiscard]] LoadedShelf load(std::vector<std::string> keys) const {
        LoadOptions options;
        options.approve = signed_by(std::move(keys));
        return load_shelf(path_, options);
    }

  private:
    std::string path_;
};

std::size_t refusals(const LoadedShelf& loaded) {
    std::size_t count = 0;
    for (const Finding& finding : loaded.findings) {
        count += finding.code == "not-approved" ? 1U : 0U;
    }
    return count;
}

TEST_CASE("keys: a secret key holds its own public key") {
    const KeyPair pair = new_key_pair();
    CHECK(is_public_key(pair.public_key));
    CHECK(is_secret_key(pair.secret_key));
    CHECK(public_half(pair.secret_key) == pair.public_key);
    CHECK_FALSE(is_public_key(pair.secret_key));
    CHECK_FALSE(is_public_key(""));
    CHECK_FALSE(is_secret_key(""));
    CHECK_FALSE(is_secret_key(pair.public_key));
    std::string broken = pair.secret_key;
    broken.back() = broken.back() == '0' ? '1' : '0';
    CHECK_FALSE(is_secret_key(broken));
}

// RFC 8032, section 7.1, test 1 gives this secret seed and this public key.
TEST_CASE("keys: the published pair of RFC 8032 is one") {
    CHECK(is_secret_key("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
                        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"));
}

TEST_CASE("signed files: every single-byte change to the file is noticed") {
    const std::string text = base_pack;
    const std::string beside = sign_file(text, approver().secret_key);
    REQUIRE(signers(text, beside) == std::vector<std::string>{approver().public_key});
    std::size_t unnoticed = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string altered = text;
        altered[i] = static_cast<char>(altered[i] ^ (1 << (i % 7)));
        unnoticed += signers(altered, beside).empty() ? 0U : 1U;
    }
    CHECK(unnoticed == 0);
}

TEST_CASE("signed files: several signers, and lines that are none") {
    const KeyPair second = new_key_pair();
    const std::string text = base_pack;
    const std::string beside =
        "# approved in the yard\n" + sign_file(text, approver().secret_key) +
        "toprail-signature 1 00 00\ntoprail-signature 1\ntoprail-signature 1 00\n" +
        sign_file(text, second.secret_key);
    CHECK(signers(text, beside) ==
          std::vector<std::string>{approver().public_key, second.public_key});
}

TEST_CASE("a shelf of approved packs takes signed files and no other") {
    const SignedYard yard_files;
    const KeyPair stranger = new_key_pair();
    CHECK(yard_files.load({approver().public_key}).shelf);
    CHECK(yard_files.load({stranger.public_key, approver().public_key}).shelf);
    CHECK(refusals(yard_files.load({stranger.public_key})) == 3);
    CHECK(refusals(yard_files.load({})) == 3);
    // Facts files are not packs and need no signature.
    yard_files.write("facts.yaml", "facts: {machine: boom}\n");
    CHECK(yard_files.load({approver().public_key}).shelf);

    yard_files.write("rules.yaml", std::string(yard_pack) + "# changed afterwards\n");
    const LoadedShelf changed = yard_files.load({approver().public_key});
    CHECK_FALSE(changed.shelf);
    CHECK(refusals(changed) == 1);
}

TEST_CASE("a pack without a signature beside it is refused") {
    LoadOptions options;
    options.approve = signed_by({approver().public_key});
    const LoadedShelf loaded = load_shelf(yard_texts(), options);
    CHECK_FALSE(loaded.shelf);
    CHECK(refusals(loaded) == 3);
}

TEST_CASE("a pipe in place of a signature is no signature, and is not waited for") {
    const SignedYard yard_files;
    const std::string signature = yard_files.path("rules.yaml.signature");
    fs::remove(signature);
    REQUIRE(::mkfifo(signature.c_str(), 0600) == 0);
    const LoadedShelf loaded = yard_files.load({approver().public_key});
    CHECK_FALSE(loaded.shelf);
    CHECK(refusals(loaded) == 1);
}

TEST_CASE("a signature file of more than a mebibyte is not read") {
    const SignedYard yard_files;
    const std::string good = sign_file(yard_pack, approver().secret_key);
    yard_files.write("rules.yaml.signature", std::string(900'000, '#') + "\n" + good);
    CHECK(yard_files.load({approver().public_key}).shelf);
    yard_files.write("rules.yaml.signature", std::string(1'100'000, '#') + "\n" + good);
    const LoadedShelf loaded = yard_files.load({approver().public_key});
    CHECK_FALSE(loaded.shelf);
    CHECK(refusals(loaded) == 1);
}

TEST_CASE("signed receipts: signatures stay beside each other and are told by key") {
    const KeyPair second = new_key_pair();
    const std::string once = sign_receipt(lift_receipt().text, approver().secret_key).value();
    const std::string twice = sign_receipt(once, second.secret_key).value();
    const ReadReceipt read = read_receipt(twice);
    REQUIRE(read.receipt);
    REQUIRE(read.receipt->signatures.size() == 2);
    CHECK(read.receipt->signatures[0].key == approver().public_key);
    CHECK(read.receipt->signatures[1].key == second.public_key);
    CHECK(read.receipt->digest == read_receipt(lift_receipt().text).receipt->digest);
}

TEST_CASE("signed receipts: a signature of another receipt, or of a file, does not hold") {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    Json one = Json::parse(sign_receipt(lift_receipt().text, approver().secret_key).value());
    Json other = Json::parse(receipt_with(yard(), facts).text);
    other["signatures"] = one["signatures"];
    CHECK(read_receipt(canonical(other)).trouble == ReceiptTrouble::altered);
    const std::string text = canonical(one);
    const std::string line = sign_file(text, approver().secret_key);
    one["signatures"][0]["signature"] = line.substr(line.size() - 129, 128);
    CHECK(read_receipt(canonical(one)).trouble == ReceiptTrouble::altered);
    CHECK_FALSE(sign_receipt("{}", approver().secret_key));
}

}  // namespace
}  // namespace toprail::test
