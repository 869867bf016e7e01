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
    return 0;
}
