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
    REQUIRE(strcmp(error.field, "titel") == 0 && strstr(error.message, "titel") != NULL);
    /* A byte order mark is no fault. */
    const char *marked = "\xEF\xBB\xBF{\"titel\": \"x\"}";
    REQUIRE(rmech_operation_study(marked, strlen(marked), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "titel") == 0);
    /* The key at fault, as deep as it stands, a missing one, too. */
    const char *unreadable = "{\"capstan\": {\"at\": [\"1 m\", \"2 m\"], \"wraps\": 5}}";
    REQUIRE(rmech_operation_study(unreadable, strlen(unreadable), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "capstan.at") == 0 && strstr(error.message, "three values") != NULL);
    const char *deep = "{\"ground\": [[\"0 m\", \"0 m\"], [\"1 m\", \"2 lbf\"]]}";
    REQUIRE(rmech_operation_study(deep, strlen(deep), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "ground[1][1]") == 0 && strstr(error.message, "2 lbf") != NULL);
    const char *without = "{\"far_anchor\": {\"x\": \"1 m\"}}";
    REQUIRE(rmech_operation_study(without, strlen(without), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "far_anchor.height") == 0);
    REQUIRE(strstr(error.message, "far_anchor.height is missing: the height of its sheave") != NULL);
    const char *empty = "{\"title\": \"x\"}";
    REQUIRE(rmech_operation_study(empty, strlen(empty), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "site") == 0 && strstr(error.message, "ground is missing") != NULL);
    REQUIRE(needed == 7 && strcmp(study, "untouched") == 0);
    show("done", 1.0);
    return 0;
}
