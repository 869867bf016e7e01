//! Drum, motor, leads.
//!
//! ```text
//! Drum:  r(k) = D/2 + d/2 + (k - 1)*p*d, p = 1 crown on crown, 0.866 in the groove    gear back: eb = 2 - 1/ef
//! Motor: torque = kt*(I - I0)    w = (V - I*R)/kt    leads: R = rho*2*l/A, rho = 0.01724 ohm mm^2/m
//! Copper: R(T) = R25*(1 + 0.00393*(T - 20 C))/(1 + 0.00393*5)
//! Assumed: steady turning, whole turns on the drum, a round rope. Range: copper -100 to 300 C; contacts and lugs come on top.
//! Source: geometry; the motor's law; IEC 60028 (from memory).
//! ```
//!
//! ```c
//! rmech_voltage voltage = rmech_v(12.0); // from the four numbers of a data sheet
//! rmech_turning_speed idle_speed = rmech_rpm(3800.0);
//! rmech_current idle_current = rmech_a(1.0);
//! rmech_torque stall = rmech_n_m(0.9);
//! rmech_motor motor;
//! if (rmech_motor_from_ends(&voltage, &idle_speed, &idle_current, &stall, &motor, &error) == RMECH_OK)
//!     printf("%.4f N m/A, %.0f mohm\n", rmech_in_n_m_per_a(motor.constant), rmech_in_mohm(motor.winding)); // 0.0292 N m/A, 377 mohm
//! ```

use crate::call::{call, growing, input, no_flags, no_reserved, output, versions, writable};
use crate::error::{Failure, Named, rmech_error};
use crate::quantity::{
    rmech_area, rmech_current, rmech_length, rmech_motor_constant, rmech_power, rmech_ratio,
    rmech_resistance, rmech_temperature, rmech_torque, rmech_turning_speed, rmech_voltage,
};
use rope_mechanics::winch::{
    Drum, DrumSize, Gear, Layer, Motor, MotorState, cable_resistance, copper_resistance,
};

/// A drum that takes rope in layers.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_drum {
    /// sizeof(rmech_drum); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The bare drum.
    pub core_diameter: rmech_length,
    /// Between the flanges.
    pub width: rmech_length,
    /// The rope on it.
    pub rope_diameter: rmech_length,
    /// How each layer rises, by the rope's diameter: 0.866 where turns lie in grooves; zero stands for 1.
    pub layer_rise: rmech_ratio,
    /// How many layers the flanges allow.
    pub layers: u32,
    /// Zero.
    pub reserved: u32,
}

versions!(rmech_drum: 48);

impl rmech_drum {
    fn get(self) -> Result<Drum, Failure> {
        no_flags(self.flags)?;
        no_reserved("drum", self.reserved.into())?;
        let drum = Drum::new(DrumSize {
            core_diameter: self.core_diameter.get(),
            width: self.width.get(),
            rope_diameter: self.rope_diameter.get(),
            layers: self.layers,
        })
        .named("drum_width", "width")
        .named("turns_per_layer", "width")?;
        Ok(if self.layer_rise.fraction == 0.0 { drum } else { drum.with_layer_rise(self.layer_rise.get())? })
    }
}

/// The layer from which the rope leaves the drum.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_layer {
    /// Counted from 1, on the core.
    pub number: u32,
    /// Zero.
    pub reserved: u32,
    /// From the axis to the middle of the rope.
    pub radius: rmech_length,
    /// The pull by that on the first layer, for the same torque.
    pub pull_ratio: rmech_ratio,
    /// How much rope can still be wound on before the next layer begins.
    pub room: rmech_length,
    /// How much rope leaves the drum before the layer below is reached.
    pub on_layer: rmech_length,
}

impl From<Layer> for rmech_layer {
    fn from(layer: Layer) -> Self {
        Self {
            number: layer.number,
            reserved: 0,
            radius: layer.radius.into(),
            pull_ratio: layer.pull_ratio.into(),
            room: layer.room.into(),
            on_layer: layer.on_layer.into(),
        }
    }
}

/// The layer from which the rope leaves when so much of it is on the drum, the turns that must stay on it included.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_drum_layer_at(
    drum: *const rmech_drum,
    rope_on_drum: *const rmech_length,
    layer: *mut rmech_layer,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (drum, length) = unsafe { (growing("drum", drum)?, input("rope_on_drum", rope_on_drum)?) };
        writable("layer", layer)?;
        let value = drum.get()?.layer_at(length.get())?.into();
        // SAFETY: as above.
        unsafe { output("layer", layer, value) }
    })
}

/// The radius of a layer, counted from 1, from the axis to the middle of the rope, and the pull on it by that on the
/// first layer for the same torque. Either may be NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_drum_layer(
    drum: *const rmech_drum,
    number: u32,
    radius: *mut rmech_length,
    pull_ratio: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let drum = unsafe { growing("drum", drum)? };
        if !radius.is_null() {
            writable("radius", radius)?;
        }
        if !pull_ratio.is_null() {
            writable("pull_ratio", pull_ratio)?;
        }
        let drum = drum.get()?;
        let far = drum.radius(number).named("layer", "number")?.into();
        let less = drum.pull_ratio(number).named("layer", "number")?.into();
        // SAFETY: as above.
        unsafe {
            if !radius.is_null() {
                output("radius", radius, far)?;
            }
            if pull_ratio.is_null() { Ok(()) } else { output("pull_ratio", pull_ratio, less) }
        }
    })
}

/// How many whole turns a layer takes, and how much rope the drum with all its layers full. Either may be NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_drum_capacity(
    drum: *const rmech_drum,
    turns_per_layer: *mut rmech_ratio,
    capacity: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let drum = unsafe { growing("drum", drum)? };
        if !turns_per_layer.is_null() {
            writable("turns_per_layer", turns_per_layer)?;
        }
        if !capacity.is_null() {
            writable("capacity", capacity)?;
        }
        let drum = drum.get()?;
        // SAFETY: as above.
        unsafe {
            if !turns_per_layer.is_null() {
                output("turns_per_layer", turns_per_layer, drum.turns_per_layer().into())?;
            }
            if capacity.is_null() { Ok(()) } else { output("capacity", capacity, drum.capacity().into()) }
        }
    })
}

/// What gets back through a gear when the load drives, by the assumption that as much torque is lost both ways; zero
/// or below where the gear locks, which is friction and never to be counted as a brake.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_gear_back_efficiency(
    gear_efficiency: *const rmech_ratio,
    back_efficiency: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let forward = unsafe { input("gear_efficiency", gear_efficiency)? };
        writable("back_efficiency", back_efficiency)?;
        let one = rmech_ratio { fraction: 1.0 };
        let value = Gear::new(one.get(), forward.get())?.back_efficiency().into();
        // SAFETY: as above.
        unsafe { output("back_efficiency", back_efficiency, value) }
    })
}

/// A motor that turns steadily.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor_state {
    /// Through the winding.
    pub current: rmech_current,
    /// At the shaft.
    pub torque: rmech_torque,
    /// Of the shaft.
    pub speed: rmech_turning_speed,
    /// Taken in.
    pub electrical_power: rmech_power,
    /// Given out.
    pub mechanical_power: rmech_power,
    /// Of the motor alone.
    pub efficiency: rmech_ratio,
}

impl From<MotorState> for rmech_motor_state {
    fn from(state: MotorState) -> Self {
        Self {
            current: state.current.into(),
            torque: state.torque.into(),
            speed: state.speed.into(),
            electrical_power: state.electrical_power.into(),
            mechanical_power: state.mechanical_power.into(),
            efficiency: state.efficiency.into(),
        }
    }
}

/// The constants of a permanent-magnet motor.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_motor {
    /// Torque per ampere.
    pub constant: rmech_motor_constant,
    /// What turns it without load.
    pub no_load_current: rmech_current,
    /// Of the winding with its brushes at 25 °C.
    pub winding: rmech_resistance,
}

impl rmech_motor {
    fn get(self) -> Result<Motor, Failure> {
        Motor::new(self.constant.get(), self.no_load_current.get(), self.winding.get())
            .named("motor_constant", "constant")
            .named("winding_resistance", "winding")
    }
}

/// A motor's constants from the ends of its curve at one voltage: speed and current without load, torque at stall.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_from_ends(
    voltage: *const rmech_voltage,
    no_load_speed: *const rmech_turning_speed,
    no_load_current: *const rmech_current,
    stall_torque: *const rmech_torque,
    motor: *mut rmech_motor,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (voltage, speed, current, torque) = unsafe {
            (
                input("voltage", voltage)?.get(),
                input("no_load_speed", no_load_speed)?.get(),
                input("no_load_current", no_load_current)?.get(),
                input("stall_torque", stall_torque)?.get(),
            )
        };
        writable("motor", motor)?;
        let found = Motor::from_no_load_and_stall(voltage, speed, current, torque)?;
        let value = rmech_motor {
            constant: found.constant().into(),
            no_load_current: found.no_load_current().into(),
            winding: found.winding_resistance().into(),
        };
        // SAFETY: as above.
        unsafe { output("motor", motor, value) }
    })
}

/// A motor at a voltage, turning at a speed: from standstill to its speed without load.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_at_speed(
    motor: *const rmech_motor,
    voltage: *const rmech_voltage,
    speed: *const rmech_turning_speed,
    state: *mut rmech_motor_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (motor, voltage, speed) =
            unsafe { (input("motor", motor)?, input("voltage", voltage)?, input("speed", speed)?) };
        writable("state", state)?;
        let value = motor.get()?.at_speed(voltage.get(), speed.get()).named("motor_speed", "speed")?.into();
        // SAFETY: as above.
        unsafe { output("state", state, value) }
    })
}

/// A motor at a voltage, under a torque: from none to that at stall.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_motor_at_torque(
    motor: *const rmech_motor,
    voltage: *const rmech_voltage,
    torque: *const rmech_torque,
    state: *mut rmech_motor_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (motor, voltage, torque) =
            unsafe { (input("motor", motor)?, input("voltage", voltage)?, input("torque", torque)?) };
        writable("state", state)?;
        let value =
            motor.get()?.at_torque(voltage.get(), torque.get()).named("motor_torque", "torque")?.into();
        // SAFETY: as above.
        unsafe { output("state", state, value) }
    })
}

/// The resistance of a pair of copper leads at 20 °C, out and back.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_cable_resistance(
    each_way: *const rmech_length,
    cross_section: *const rmech_area,
    resistance: *mut rmech_resistance,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (length, area) =
            unsafe { (input("each_way", each_way)?, input("cross_section", cross_section)?) };
        writable("resistance", resistance)?;
        let found = cable_resistance(length.get(), area.get())
            .named("cable_length", "each_way")
            .named("cable_cross_section", "cross_section");
        let value = found?.into();
        // SAFETY: as above.
        unsafe { output("resistance", resistance, value) }
    })
}

/// The resistance at a temperature of a copper conductor whose resistance at 25 °C is known.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_copper_resistance(
    at_25_celsius: *const rmech_resistance,
    temperature: *const rmech_temperature,
    resistance: *mut rmech_resistance,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (cold, temperature) =
            unsafe { (input("at_25_celsius", at_25_celsius)?, input("temperature", temperature)?) };
        writable("resistance", resistance)?;
        let found = copper_resistance(cold.get(), temperature.get())
            .named("resistance", "at_25_celsius")
            .named("winding_temperature", "temperature");
        let value = found?.into();
        // SAFETY: as above.
        unsafe { output("resistance", resistance, value) }
    })
}
