//! Monthly clearness of the places for which an open table was at hand. A small set: regions of Britain
//! and four coasts of the United States; anywhere else the months are typed in. Not for: weather of a day.

/// What is known of the light at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearness {
    /// Name of the place or region, as it is chosen in a document.
    pub name: &'static str,
    /// Latitude for which the clearness was formed \[deg\]; of British regions from memory, within 0.5°.
    pub latitude_deg: f64,
    /// The same in words, for whoever chooses.
    pub latitude_words: &'static str,
    /// Key of the source.
    pub source: &'static str,
    /// Light on the horizontal over that above the air, January to December.
    pub clearness: [f64; 12],
}

macro_rules! climates {
    ($($place:ident $name:literal $latitude_deg:literal $source:literal $clearness:expr;)+) => {
        /// A place or region whose climate is known.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Climate { $(#[doc = $name] $place),+ }

        impl Climate {
            /// All of them, in the order in which they are offered.
            pub const ALL: &'static [Self] = &[$(Self::$place),+];

            /// Its row of the table.
            #[must_use]
            pub const fn row(self) -> Clearness {
                match self {
                    $(Self::$place => Clearness {
                        name: $name,
                        latitude_deg: $latitude_deg as f64,
                        latitude_words: concat!("about ", $latitude_deg, "° of latitude"),
                        source: $source,
                        clearness: $clearness,
                    },)+
                }
            }
        }
    };
}

// British rows [sap2012], rows of the United States [nrel2008]; clearness by the days and forms of
// `extraterrestrial_day_w_m2`.
climates! {
    BritishAverage "British average" 53.5 "sap2012"
        [0.3205, 0.3735, 0.4034, 0.4299, 0.4381, 0.4176, 0.412, 0.4092, 0.414, 0.3845, 0.345, 0.3202];
    SouthEastEngland "South East England" 51 "sap2012"
        [0.3258, 0.3637, 0.4097, 0.4723, 0.4692, 0.4806, 0.4676, 0.464, 0.4557, 0.4078, 0.363, 0.3044];
    SouthernEngland "Southern England" 50.8 "sap2012"
        [0.3514, 0.3789, 0.4273, 0.4768, 0.471, 0.4888, 0.4695, 0.4709, 0.471, 0.4206, 0.3848, 0.3235];
    SouthWestEngland "South West England" 50.6 "sap2012"
        [0.3565, 0.3817, 0.4291, 0.4812, 0.4728, 0.4846, 0.4412, 0.4625, 0.4624, 0.4072, 0.3801, 0.3301];
    Severn "Severn" 51.5 "sap2012"
        [0.3377, 0.3717, 0.4188, 0.4668, 0.4544, 0.4705, 0.4465, 0.4481, 0.4497, 0.3991, 0.3654, 0.3174];
    MerseyCoast "Mersey coast" 53.4 "sap2012"
        [0.2934, 0.351, 0.3981, 0.4351, 0.4356, 0.4238, 0.4054, 0.3958, 0.4132, 0.3772, 0.3218, 0.3019];
    NorthWestEnglandAndSouthWestScotland "North West England and South West Scotland" 54.8 "sap2012"
        [0.3176, 0.3768, 0.4138, 0.4577, 0.4592, 0.4247, 0.4246, 0.4116, 0.4182, 0.3813, 0.3457, 0.3318];
    NorthEastEngland "North East England" 54.4 "sap2012"
        [0.3329, 0.369, 0.4092, 0.4408, 0.4492, 0.4139, 0.4153, 0.4101, 0.4219, 0.387, 0.3576, 0.3344];
    EastAnglia "East Anglia" 52.3 "sap2012"
        [0.336, 0.3789, 0.4111, 0.4657, 0.4606, 0.4585, 0.4475, 0.4461, 0.4497, 0.4113, 0.3753, 0.3267];
    Wales "Wales" 52.5 "sap2012"
        [0.3299, 0.3759, 0.4256, 0.4641, 0.4655, 0.4587, 0.4326, 0.4314, 0.4233, 0.3809, 0.3413, 0.305];
    WestScotland "West Scotland" 55.8 "sap2012"
        [0.2886, 0.3586, 0.3946, 0.4374, 0.4523, 0.4043, 0.4061, 0.3997, 0.3821, 0.3534, 0.3125, 0.2941];
    EastScotland "East Scotland" 56.4 "sap2012"
        [0.339, 0.3709, 0.4063, 0.4352, 0.4583, 0.4005, 0.4025, 0.4021, 0.4066, 0.3764, 0.3553, 0.317];
    NorthEastScotland "North East Scotland" 57.2 "sap2012"
        [0.3345, 0.3802, 0.4165, 0.4311, 0.451, 0.3947, 0.3902, 0.3891, 0.3947, 0.3703, 0.3537, 0.3294];
    WesternIsles "Western Isles" 58 "sap2012"
        [0.3092, 0.3638, 0.4176, 0.4729, 0.4786, 0.433, 0.4089, 0.4033, 0.4023, 0.3638, 0.321, 0.2911];
    Orkney "Orkney" 59 "sap2012"
        [0.3073, 0.3692, 0.4167, 0.4429, 0.4811, 0.423, 0.3946, 0.3993, 0.4084, 0.3755, 0.3224, 0.2805];
    Shetland "Shetland" 60.2 "sap2012"
        [0.3129, 0.3499, 0.4085, 0.426, 0.463, 0.4004, 0.3738, 0.4018, 0.3791, 0.369, 0.3118, 0.2741];
    NorthernIreland "Northern Ireland" 54.7 "sap2012"
        [0.3284, 0.3822, 0.417, 0.4513, 0.4613, 0.4141, 0.4004, 0.3954, 0.3951, 0.3735, 0.3431, 0.3109];
    SanFrancisco "San Francisco" 37.617 "nrel2008"
        [0.4612, 0.5198, 0.5559, 0.5794, 0.5798, 0.6173, 0.6305, 0.6235, 0.6363, 0.5691, 0.5095, 0.5027];
    Miami "Miami" 25.82 "nrel2008"
        [0.5293, 0.5437, 0.562, 0.5701, 0.5247, 0.4914, 0.5394, 0.517, 0.5094, 0.5282, 0.5179, 0.5166];
    Tampa "Tampa" 27.97 "nrel2008"
        [0.5268, 0.5648, 0.5225, 0.6187, 0.6152, 0.5595, 0.5336, 0.538, 0.5306, 0.5829, 0.5456, 0.4961];
    NewYorkBight "New York Bight" 40.72 "nrel2008"
        [0.4544, 0.5024, 0.5117, 0.5021, 0.4937, 0.534, 0.4967, 0.502, 0.4921, 0.5316, 0.4575, 0.4559];
}
