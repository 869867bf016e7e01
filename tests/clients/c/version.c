/* The versions of header and library, and what a program is told whose header the library doesn't serve. */
#include "client.h"

int main(void) {
    char header[64];
    snprintf(header, sizeof header, "%d.%d.%d", RMECH_VERSION_MAJOR, RMECH_VERSION_MINOR, RMECH_VERSION_PATCH);
    REQUIRE(strcmp(rmech_version(), header) == 0);
    REQUIRE(rmech_abi_version() == RMECH_ABI_VERSION);

    rmech_error error = RMECH_INIT(rmech_error);
    REQUIRE(RMECH_CHECK_VERSION(&error) == RMECH_OK);
    REQUIRE(RMECH_CHECK_VERSION(NULL) == RMECH_OK);

    const uint32_t abi = RMECH_ABI_VERSION, major = RMECH_VERSION_MAJOR, minor = RMECH_VERSION_MINOR;
    REQUIRE(rmech_check_version(abi + 1, major, minor, &error) == RMECH_ERR_VERSION);
    REQUIRE(error.status == RMECH_ERR_VERSION && strcmp(error.field, "abi_version") == 0);
    printf("%s\n", error.message);
    REQUIRE(rmech_check_version(abi - 1, major, minor, NULL) == RMECH_ERR_VERSION);

    /* A newer header may call what this library lacks; an older one may not. */
    REQUIRE(rmech_check_version(abi, major, minor + 1, &error) == RMECH_ERR_VERSION);
    REQUIRE(strcmp(error.field, "minor") == 0);
    REQUIRE(rmech_check_version(abi, major + 1, 0, &error) == RMECH_ERR_VERSION);
    REQUIRE(strcmp(error.field, "major") == 0);
    printf("%s\n", error.message);
    REQUIRE(minor == 0 || rmech_check_version(abi, major, minor - 1, &error) == RMECH_OK);
    REQUIRE(major == 0 || rmech_check_version(abi, major - 1, minor + 1, &error) == RMECH_OK);

    rmech_error unset = {0};
    REQUIRE(rmech_check_version(abi, major, minor, &unset) == RMECH_ERR_STRUCT_SIZE);
    /* A shorter error is refused, and so is a size that no version will have; of a longer one only what is known is written. */
    unset.struct_size = (uint32_t)sizeof unset - 8;
    REQUIRE(rmech_check_version(abi, major, minor, &unset) == RMECH_ERR_STRUCT_SIZE);
    unset.struct_size = 4104;
    REQUIRE(rmech_check_version(abi, major, minor, &unset) == RMECH_ERR_STRUCT_SIZE && unset.status == 0);
    struct {
        rmech_error known;
        char more[24];
    } later = {{0}, "as it was"};
    later.known.struct_size = (uint32_t)sizeof later;
    REQUIRE(rmech_check_version(abi + 1, major, minor, &later.known) == RMECH_ERR_VERSION);
    REQUIRE(strcmp(later.known.field, "abi_version") == 0 && later.known.struct_size == sizeof later);
    REQUIRE(strcmp(later.more, "as it was") == 0);
    return 0;
}
