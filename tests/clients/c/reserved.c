/* A reserved member that isn't zero is refused alike in every struct that is read, and named. */
#include "client.h"

static rmech_error error;

static void refused(const char *name, const char *path, int32_t status) {
    if (status != RMECH_ERR_ENUMERATOR || strcmp(error.field, path) != 0 || strstr(error.message, name) == NULL) {
        fprintf(stderr, "%s: status %" PRId32 ", %s: %s\n", name, status, error.field, error.message);
        exit(1);
    }
    REQUIRE(rmech_init(&error, (uint32_t)sizeof error) == RMECH_OK);
}

int main(void) {
    rmech_force force = rmech_kn(1.0);
    rmech_force3 force3;
    rmech_length length = rmech_m(10.0);
    REQUIRE(rmech_init(&error, (uint32_t)sizeof error) == RMECH_OK);

    rmech_carriage carriage = RMECH_INIT(rmech_carriage);
    rmech_carriage_state carriage_state = RMECH_INIT(rmech_carriage_state);
    carriage.track_stretch.a = rmech_kn(80.0);
    carriage.reserved = 1;
    refused("rmech_carriage", "reserved", rmech_carriage_rolling(&carriage, &carriage_state, &error));

    rmech_point head = {0};
    rmech_at_head at_head = {0};
    at_head.kind = RMECH_AT_HEAD_TOWARDS;
    at_head.point.x = rmech_m(1.0);
    at_head.tension = force;
    REQUIRE(rmech_head_resultant(&head, &at_head, 1, &force3, &error) == RMECH_OK);
    at_head.reserved = -1;
    refused("rmech_at_head", "pulls[0].reserved", rmech_head_resultant(&head, &at_head, 1, &force3, &error));
    at_head.reserved = 0;

    rmech_leg leg = {0};
    rmech_frame frame = RMECH_INIT(rmech_frame);
    rmech_frame_fall fall = RMECH_INIT(rmech_frame_fall);
    frame.head.z = rmech_m(3.0);
    frame.legs = &leg;
    frame.leg_count = 1;
    leg.reserved = 1;
    refused("rmech_leg", "legs[0].reserved", rmech_frame_falls(&frame, &at_head, 1, &fall, &error));

    rmech_turn turn = {0};
    rmech_angle angle = rmech_deg(90.0);
    rmech_bend bend = {0};
    rmech_reeving reeving = RMECH_INIT(rmech_reeving);
    rmech_reeving_summary summary = RMECH_INIT(rmech_reeving_summary);
    rmech_known known = {0};
    turn.kind = RMECH_TURN_FRICTIONLESS;
    bend.turn = turn;
    bend.given = RMECH_BEND_WRAP;
    bend.wrap = angle;
    reeving.bends = &bend;
    reeving.bend_count = 1;
    known.side = RMECH_SIDE_PULLING;
    known.tension = force;
    REQUIRE(rmech_reeving_tensions(&reeving, &known, RMECH_MOTION_HAULING, NULL, 0, NULL, 0, &summary, &error) ==
            RMECH_OK);
    bend.reserved = 1;
    refused("rmech_bend", "bends[0].reserved",
            rmech_reeving_tensions(&reeving, &known, RMECH_MOTION_HAULING, NULL, 0, NULL, 0, &summary, &error));
    bend.reserved = 0;
    bend.turn.reserved = 1;
    refused("rmech_turn", "bends[0].turn.reserved",
            rmech_reeving_tensions(&reeving, &known, RMECH_MOTION_HAULING, NULL, 0, NULL, 0, &summary, &error));

    rmech_rig *rig = NULL;
    rmech_rig_point_id from, to;
    rmech_rig_rope_id rope_id;
    rmech_point at = {0};
    REQUIRE(rmech_rig_create(&rig, &error) == RMECH_OK);
    REQUIRE(rmech_rig_add_fixed(rig, "top", &at, &from, &error) == RMECH_OK);
    rmech_rig_point rig_point = RMECH_INIT(rmech_rig_point);
    rig_point.reserved = 1;
    refused("rmech_rig_point", "reserved", rmech_rig_add_point(rig, "load", &rig_point, &to, &error));
    rig_point.reserved = 0;
    REQUIRE(rmech_rig_add_point(rig, "load", &rig_point, &to, &error) == RMECH_OK);
    rmech_rig_rope rope = RMECH_INIT(rmech_rig_rope);
    rmech_rig_turn rig_turn = {0};
    rope.from = from;
    rope.to = to;
    rope.length = length;
    rope.stretch.a = rmech_kn(40.0);
    rig_turn.point = to;
    rig_turn.turn = turn;
    rig_turn.reserved = 1;
    refused("rmech_rig_turn", "turns[0].reserved", rmech_rig_add_rope(rig, "rope", &rope, &rig_turn, 1, &rope_id, &error));
    rmech_rig_destroy(rig);

    rmech_tackle tackle = RMECH_INIT(rmech_tackle);
    rmech_advantage advantage;
    tackle.ready = RMECH_TACKLE_3_TO_1;
    tackle.load_distance = rmech_m(40.0);
    tackle.spread = rmech_m(10.0);
    tackle.efficiency = rmech_percent(90.0);
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_OK);
    tackle.reserved = 1;
    refused("rmech_tackle", "reserved", rmech_tackle_advantage(&tackle, &advantage, &error));

    rmech_carrier carriers[2] = {0};
    rmech_stop stops[2] = {0};
    carriers[0].kind = RMECH_CARRIER_ANCHOR;
    carriers[1].kind = RMECH_CARRIER_LOAD;
    carriers[1].at.x = length;
    stops[0].kind = RMECH_TACKLE_STOP_END;
    stops[0].carrier = 1;
    stops[1].kind = RMECH_TACKLE_STOP_HAND;
    tackle.reserved = 0;
    tackle.ready = RMECH_TACKLE_OWN;
    tackle.carriers = carriers;
    tackle.carrier_count = 2;
    tackle.stops = stops;
    tackle.stop_count = 2;
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_OK);
    tackle.reserved = 1;
    refused("rmech_tackle", "reserved", rmech_tackle_advantage(&tackle, &advantage, &error));
    tackle.reserved = 0;
    stops[1].reserved = 1;
    refused("rmech_stop", "stops[1].reserved", rmech_tackle_advantage(&tackle, &advantage, &error));
    carriers[1].reserved = 1;
    refused("rmech_carrier", "carriers[1].reserved", rmech_tackle_advantage(&tackle, &advantage, &error));

    rmech_motor_heat heat = {0};
    rmech_heating heating = {0};
    rmech_time time = rmech_min(1.0);
    rmech_motor_temperatures hot, cool;
    heat.kind = RMECH_HEAT_ONE_NODE;
    heat.reserved = 1;
    refused("rmech_motor_heat", "reserved", rmech_motor_duty_cycle(&heat, &heating, &time, &time, &hot, &cool, &error));

    rmech_drum drum = RMECH_INIT(rmech_drum);
    rmech_layer layer;
    drum.core_diameter = rmech_mm(64.0);
    drum.width = rmech_mm(230.0);
    drum.rope_diameter = rmech_mm(8.0);
    drum.layers = 4;
    REQUIRE(rmech_drum_layer_at(&drum, &length, &layer, &error) == RMECH_OK);
    drum.reserved = 1;
    refused("rmech_drum", "reserved", rmech_drum_layer_at(&drum, &length, &layer, &error));
    puts("ok");
    return 0;
}
