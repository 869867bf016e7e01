/* The size query of the operation, and what bad input does. The site stands in a file beside the example. */
#include "client.h"

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    size_t needed = 7;
    char study[16] = "untouched";
    const char *not_json = "{";
    const char *unknown = "{\"titel\": \"x\"}";

    REQUIRE(rmech_operation_study(NULL, 3, study, sizeof study, &needed, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_study(not_json, 1, study, sizeof study, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_study(not_json, 1, NULL, 16, &needed, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_study(not_json, 0, study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_study(not_json, 1, study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_study("\xff", 1, study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_study(unknown, strlen(unknown), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strstr(error.message, "titel") != NULL);
    REQUIRE(needed == 7 && strcmp(study, "untouched") == 0);
    show("done", 1.0);
    return 0;
}
